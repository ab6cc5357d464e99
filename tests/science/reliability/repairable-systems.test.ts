import { describe, expect, test } from 'vitest'
import {
  laplaceTrendTest,
  lewisRobinsonTrendTest,
  meanCumulativeFunction,
  militaryHandbookTrendTest,
  NotEstimable,
  powerLawProcess,
  type RecurrenceHistory,
  sampleLife,
} from '@/lib/science'
import { expectAllRelative, expectRelative } from '../close-to'
import { referenceCase, referenceCases } from '../reference-file'
import { seededRandom } from '../seeded-random'

// NIST/SEMATECH e-Handbook 8.4.5.2, case study 1 (its BetaHat .516494 is 1 − b with b = (r − 1)/Σ ln(T/t) = .483506, our shapeUnbiased).
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

describe('powerLawProcess', () => {
  test.each([
    [
      'NIST case 1',
      NIST,
      { end: 1500, truncation: 'time' as const },
      0.537228866034,
      0.196658215714,
      0.483505979431,
      0.00358152577356,
    ],
    [
      'MIL-HDBK-189',
      HANDBOOK,
      { end: 300, truncation: 'time' as const },
      0.716339262366,
      0.453841861373,
      0.689808178575,
      0.0644705336129,
    ],
    [
      '22 failures, watched to the last',
      TO_FAILURE,
      { truncation: 'failure' as const },
      0.614210399932,
      0.423942214881,
      0.558373090847,
      0.0217945625782,
    ],
  ])('%s', (_, events, options, shape, lambda, unbiased, intensity) => {
    const fit = powerLawProcess(events, options)
    expectRelative(fit.shape, shape, 1e-11)
    expectRelative(fit.scale ** -fit.shape, lambda, 1e-10)
    expectRelative(fit.shapeUnbiased, unbiased, 1e-11)
    expectRelative(fit.intensityAtEnd, intensity, 1e-10)
  })

  test('three systems on one clock: Crow 1974, AMSAA TR-138 prints .615 and .461', () => {
    const systems = [
      [4.3, 4.4, 10.2, 23.5, 23.8, 26.4, 74, 77.1, 92.1, 197.2],
      [0.1, 5.6, 18.6, 19.5, 24.2, 26.7, 45.1, 45.8, 75.7, 79.7, 98.6, 120.1, 161.8, 180.6, 190.8],
      [8.4, 32.5, 44.7, 48.4, 50.6, 73.6, 98.7, 112.2, 129.8, 136, 195.8],
    ].map((events) => ({ end: 200, events }))
    const fit = powerLawProcess(systems, { truncation: 'time' })
    expectRelative(fit.shape, 0.615336252694, 1e-11)
    expectRelative(fit.scale ** -fit.shape, 0.460547120385, 1e-10)
    expectRelative(fit.shapeUnbiased, 0.598243579008, 1e-11)
  })

  test('unequal ends: n / Σ log(T/t) does not hold, the score equation does (R; a public validation suite has the same digits)', () => {
    const fit = powerLawProcess(
      [
        { end: 4, events: [0.5, 1, 1.5, 2, 3] },
        { end: 100, events: [50] },
      ],
      { truncation: 'time' },
    )
    expectRelative(fit.shape, 0.344383716583, 1e-11)
    expectRelative(fit.scale ** -fit.shape, 0.923671862339, 1e-10)
  })

  test('a system watched from later on is told from one watched from 0', () => {
    // Constant rate from 100 to 200: a process with shape 1 seen late. From 0 the same times look like a steep rise.
    const even = Array.from({ length: 50 }, (_, i) => 101 + 2 * i)
    expect(powerLawProcess([{ start: 100, end: 200, events: even }], { truncation: 'time' }).shape).toBeCloseTo(1, 1)
    expect(powerLawProcess(even, { end: 200, truncation: 'time' }).shape).toBeGreaterThan(2)
  })

  test('says why there is no answer', () => {
    expect(() => powerLawProcess([10, 10], { end: 10, truncation: 'time' })).toThrow(NotEstimable)
    expect(() => powerLawProcess([5], { end: 10, truncation: 'time' })).toThrow(/at least 2/)
    expect(() => powerLawProcess([5, 11], { end: 10, truncation: 'time' })).toThrow(/after the end/)
    expect(() => powerLawProcess([5, 11, 12], { end: 13, truncation: 'failure' })).toThrow(/last event/)
  })
})

describe('trend tests', () => {
  test('Laplace: NIST case 1, MIL-HDBK-189 and 22 failures (page 8.2.3.4; below 0 is improving)', () => {
    const one = laplaceTrendTest(NIST, { end: 1500, truncation: 'time' })
    expectRelative(one.statistic, -1.32694918265, 1e-10)
    expectRelative(one.pValue, 0.184525493367, 1e-10)
    expectRelative(laplaceTrendTest(HANDBOOK, { end: 300, truncation: 'time' }).statistic, -2.318, 1e-10)
    const last = laplaceTrendTest(TO_FAILURE, { truncation: 'failure' })
    expectRelative(last.statistic, -2.78315968561, 1e-10)
    expectRelative(last.pDecreasing, 0.00538323037753 / 2, 1e-10)
  })

  test('MIL-HDBK-189: χ² 37.23 with 20 for NIST case 1, degrees of freedom 2(n − 1) when watched to the last failure', () => {
    const one = militaryHandbookTrendTest(NIST, { end: 1500, truncation: 'time' })
    expectRelative(one.statistic, 37.2280814835, 1e-10)
    expect(one.degreesOfFreedom).toBe(20)
    expectRelative(one.pDecreasing, 0.0109863571158, 1e-9)
    expectRelative(one.pIncreasing, 0.989013642884, 1e-9)
    const last = militaryHandbookTrendTest(TO_FAILURE, { truncation: 'failure' })
    expectRelative(last.statistic, 71.6366899761, 1e-10)
    expect(last.degreesOfFreedom).toBe(42)
    expectRelative(last.pDecreasing, 0.00293761513967, 1e-9)
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
      if (laplaceTrendTest(events, { truncation: 'failure' }).pValue < 0.1) laplace++
      if (lewisRobinsonTrendTest(events, { truncation: 'failure' }).pValue < 0.1) lewis++
    }
    expect(laplace / 2000).toBeLessThan(0.01)
    expect(lewis / 2000).toBeGreaterThan(0.07)
    expect(lewis / 2000).toBeLessThan(0.13)
  })

  test('refuse too few events and times outside the watch', () => {
    expect(() => laplaceTrendTest([], { end: 10, truncation: 'time' })).toThrow(RangeError)
    expect(() => militaryHandbookTrendTest([10], { truncation: 'failure' })).toThrow(/at least 2/)
    expect(() => lewisRobinsonTrendTest([1, 2], { end: 10, truncation: 'time' })).toThrow(/at least 3/)
    expect(() => laplaceTrendTest([0], { end: 10, truncation: 'time' })).toThrow(RangeError)
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
  test.skipIf(!referenceCases)('valve seats of 41 engines', () => {
    const { data, expected } = referenceCase('mcf-valve-seats')
    const units = new Map<number, { end: number; events: number[] }>()
    for (const { unit, days, event } of data.records) {
      const history = units.get(unit) ?? { end: 0, events: [] }
      units.set(unit, history)
      if (event === 1) history.events.push(days)
      else history.end = days
    }
    const steps = meanCumulativeFunction([...units.values()])
    expectAllRelative(
      steps.map(({ time }) => time),
      expected.time,
      0,
    )
    expectAllRelative(
      steps.map(({ mean }) => mean),
      expected.mcf,
      1e-10,
    )
    expectAllRelative(
      steps.map(({ standardError }) => standardError),
      expected.se_robust,
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
