import { describe, expect, test } from 'vitest'
import { lewisRobinsonTrendTest, meanCumulativeFunction, type RecurrenceHistory, sampleLife } from '@/lib/science'
import { VALVE_SEATS } from '../../reference/valve-seats'
import { expectAllRelative, expectRelative } from '../close-to'
import { seededRandom } from '../seeded-random'

// NIST/SEMATECH e-Handbook 8.4.5.2, case study 1.
const NIST = [5, 40, 43, 175, 389, 712, 747, 795, 1299, 1478]
// MIL-HDBK-189 (1981), appendix C, individual failure times (as transcribed in a public validation suite; the tie at 16.5 is as printed).
const HANDBOOK = [
  2.6, 16.5, 16.5, 17, 21.4, 29.1, 33.3, 56.5, 63.1, 70.6, 73, 77.7, 93.9, 95.5, 98.1, 101.1, 132, 142.2, 147.7, 149,
  167.2, 190.7, 193, 198.7, 251.9, 282.5, 286.1,
]
// Crow-AMSAA example of ReliaWiki; printed .61421, .42394, 45.883 by the documentation of the Python package reliability.
const TO_FAILURE = [
  2.7, 10.3, 12.5, 30.6, 57, 61.3, 80, 109.5, 125, 128.6, 143.8, 167.9, 229.2, 296.7, 320.6, 328.2, 366.2, 396.7, 421.1,
  438.2, 501.2, 620,
]

/** Standard deviation over mean of the times between events. */
function variationOfGaps(events: readonly number[]): number {
  const sorted = [...events].sort((a, b) => a - b)
  const gaps = sorted.map((time, index) => time - (sorted[index - 1] ?? 0))
  const mean = gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length
  return Math.sqrt(gaps.reduce((sum, gap) => sum + (gap - mean) ** 2, 0) / (gaps.length - 1)) / mean
}

describe('lewisRobinsonTrendTest', () => {
  // Laplace's statistic as printed or computed for each series (page 8.2.3.4 of the NIST handbook; below 0 is improving), over the coefficient of variation of the times between.
  test.each([
    ['NIST case 1', NIST, { end: 1500, truncation: 'time' as const }, -1.32694918265],
    ['MIL-HDBK-189', HANDBOOK, { end: 300, truncation: 'time' as const }, -2.318],
    ['22 failures, watched to the last', TO_FAILURE, { truncation: 'failure' as const }, -2.78315968561],
  ])('%s: Laplace’s published statistic', (_, events, options, laplace) => {
    const { statistic, pDecreasing, pIncreasing } = lewisRobinsonTrendTest(events, options)
    expectRelative(statistic * variationOfGaps(events), laplace, 1e-10)
    expect(pDecreasing + pIncreasing).toBeCloseTo(1, 12)
    expect(pDecreasing).toBeLessThan(0.5)
  })

  test('Lewis–Robinson is Laplace over the coefficient of variation of the times between', () => {
    // Watched to the last failure, times between 30, 25, 20, 15, 10: mean 20, sd √62.5; Laplace of 30, 55, 75, 90 in 100: (0.625 − 0.5)·√48.
    const result = lewisRobinsonTrendTest([30, 55, 75, 90, 100], { truncation: 'failure' })
    expectRelative(result.statistic, (0.125 * Math.sqrt(48)) / (Math.sqrt(62.5) / 20), 1e-12)
    expect(result.pIncreasing).toBeLessThan(0.05)
    expect(lewisRobinsonTrendTest([10, 20, 30, 40], { truncation: 'failure' })).toMatchObject({
      statistic: 0,
      pValue: 1,
    })
  })

  test('on renewals that wear without trend Laplace stays far too quiet, Lewis–Robinson keeps its level (2,000 simulated histories)', () => {
    const random = seededRandom(12)
    let laplace = 0
    let lewis = 0
    for (let history = 0; history < 2000; history++) {
      let now = 0
      const events = Array.from({ length: 40 }, () => (now += sampleLife({ shape: 3, scale: 10 }, random)))
      const { pValue, statistic } = lewisRobinsonTrendTest(events, { truncation: 'failure' })
      if (pValue < 0.1) lewis++
      // 1.645: the normal deviate beyond which one in ten lies on either side.
      if (Math.abs(statistic * variationOfGaps(events)) > 1.645) laplace++
    }
    expect(laplace / 2000).toBeLessThan(0.01)
    expect(lewis / 2000).toBeGreaterThan(0.07)
    expect(lewis / 2000).toBeLessThan(0.13)
  })

  test('refuse too few events and times outside the watch', () => {
    expect(() => lewisRobinsonTrendTest([], { end: 10, truncation: 'time' })).toThrow(RangeError)
    expect(() => lewisRobinsonTrendTest([1, 2], { end: 10, truncation: 'time' })).toThrow(/at least 3/)
    expect(() => lewisRobinsonTrendTest([0, 1, 2], { end: 10, truncation: 'time' })).toThrow(RangeError)
  })
})

// Nelson 1988, artificial repair data (SAS/QC User's Guide, PROC RELIABILITY, table 12.61); estimates computed in R.
const REPAIRS: [number, [number, number][]][] = [
  [
    42,
    [
      [19, 2],
      [39, 2],
    ],
  ],
  [
    33,
    [
      [8, 2],
      [14, 1],
      [26, 1],
    ],
  ],
  [29, [[18, 3]]],
  [
    20,
    [
      [2, 1],
      [8, 1],
      [16, 2],
    ],
  ],
  [16, []],
  [
    12,
    [
      [5, 3],
      [12, 1],
    ],
  ],
]

describe('meanCumulativeFunction', () => {
  test('counts and costs of six units; an event at the end of a watch counts, a unit is at risk there', () => {
    const counts = meanCumulativeFunction(
      REPAIRS.map(([end, events]) => ({ end, events: events.map(([time]) => time) })),
    )
    expect(counts.map(({ time }) => time)).toEqual([2, 5, 8, 12, 14, 16, 18, 19, 26, 39])
    expect(counts.map(({ atRisk }) => atRisk)).toEqual([6, 6, 6, 6, 5, 5, 4, 4, 3, 1])
    expectAllRelative(
      counts.map(({ mean }) => mean),
      [
        0.166666666667, 0.333333333333, 0.666666666667, 0.833333333333, 1.03333333333, 1.23333333333, 1.48333333333,
        1.73333333333, 2.06666666667, 3.06666666667,
      ],
      1e-11,
    )
    expectAllRelative(
      counts.map(({ standardError }) => standardError),
      [
        0.152145154863, 0.19245008973, 0.304290309725, 0.366414054396, 0.439233338814, 0.549781101221, 0.486450675053,
        0.373843896913, 0.515446588101, 0.515446588101,
      ],
      1e-11,
    )
    const costs = meanCumulativeFunction(
      REPAIRS.map(([end, events]) => ({ end, events: events.map(([time, cost]) => ({ time, cost })) })),
    )
    expectAllRelative(
      costs.map(({ mean }) => mean),
      [
        0.166666666667, 0.666666666667, 1.16666666667, 1.33333333333, 1.53333333333, 1.93333333333, 2.68333333333,
        3.18333333333, 3.51666666667, 5.51666666667,
      ],
      1e-11,
    )
  })

  // Nelson & Doganaksoy 1989; Nelson 1995, Technometrics 37: 147–157 (41 diesel engines, 48 valve seats); robust error checked with R survfit(…, id, cluster).
  test('valve seats of 41 engines', () => {
    const { engines, days, mean, standardError } = VALVE_SEATS
    expect(engines).toHaveLength(41)
    const steps = meanCumulativeFunction(
      engines.map(({ observedDays, replacedOnDay }) => ({ end: observedDays, events: [...replacedOnDay] })),
    )
    expect(steps.map(({ time }) => time)).toEqual(days)
    expectAllRelative(
      steps.map((step) => step.mean),
      mean,
      1e-10,
    )
    expectAllRelative(
      steps.map((step) => step.standardError),
      standardError,
      1e-10,
    )
  })

  test('a late start, no events, and bad input', () => {
    const late: RecurrenceHistory[] = [
      { end: 10, events: [4] },
      { start: 5, end: 12, events: [8] },
    ]
    expect(meanCumulativeFunction(late).map(({ atRisk }) => atRisk)).toEqual([1, 2])
    expect(meanCumulativeFunction([{ end: 3, events: [] }])).toEqual([])
    expect(() => meanCumulativeFunction([{ end: 3, events: [4] }])).toThrow(/not after end/)
    expect(() => meanCumulativeFunction([])).toThrow(RangeError)
  })
})
