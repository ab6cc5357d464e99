import { describe, expect, test } from 'vitest'
import { degradationLife, ewmaChart, NotEstimable, theilSen } from '@/lib/science'
import { expectAllRelative, expectRelative } from '../close-to'
import { seededRandom } from '../seeded-random'

describe('theilSen', () => {
  test('J. Little, College of the Holy Cross, "A Mann-Kendall Example (By Hand)", its series; slope and intercept from R', () => {
    const x = [12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11, 17.3, 15.9, 19, 18.3, 20.1, 21.7]
    const line = theilSen(x.map((value, i) => ({ time: i + 1, value })))
    expectRelative(line.slope, 0.566666666667, 1e-11)
    expectRelative(line.intercept, 12.2, 1e-11)
  })

  test('uneven dates (constructed; R)', () => {
    const x = [3.1, 2.9, 3.4, 3.3, 3.9, 3.6, 4.4]
    const line = theilSen([0, 7, 21, 28, 35, 56, 63].map((time, i) => ({ time, value: x[i] ?? 0 })))
    expectRelative(line.slope, 0.0190476190476, 1e-11)
    expectRelative(line.intercept, 3, 1e-11)
  })

  test('too little data is refused', () => {
    expect(() =>
      theilSen([
        { time: 1, value: 2 },
        { time: 1, value: 3 },
      ]),
    ).toThrow(/two different times/)
  })
})

describe('ewmaChart', () => {
  test('EWMA of NIST/SEMATECH e-Handbook 6.3.2.4: in control; the page prints the limits for late observations, 52.5884 and 47.4115', () => {
    const x = [
      52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1,
    ]
    const chart = ewmaChart(x, { target: 50, sigma: 2.0539, lambda: 0.3 })
    expectAllRelative(
      chart.map(({ ewma }) => ewma),
      [
        50.6, 49.52, 50.564, 50.1848, 50.15936, 49.211552, 49.7480864, 49.85366048, 50.257562336, 50.3302936352,
        50.1112055446, 49.3578438812, 49.5204907169, 50.0543435018, 49.3780404513, 49.9246283159, 50.7272398211,
        51.2290678748, 51.9403475123, 51.9882432586,
      ],
      1e-11,
    )
    expectRelative(chart[0]?.upper, 51.84851, 1e-11)
    expect(Math.abs((chart.at(-1)?.upper ?? 0) - 52.5884)).toBeLessThan(0.001)
    expect(chart.some(({ signal }) => signal)).toBe(false)
  })

  test('refuse settings that make no chart', () => {
    expect(() => ewmaChart([1], { target: 1, sigma: 0, lambda: 0.3 })).toThrow(RangeError)
    expect(() => ewmaChart([1], { target: 1, sigma: 1, lambda: 0 })).toThrow(RangeError)
    expect(() => ewmaChart([Number.NaN], { target: 1, sigma: 1, lambda: 0.3 })).toThrow(/value 1/)
  })
})

describe('degradationLife', () => {
  test('an exact line crosses where it must, without doubt', () => {
    expect(
      degradationLife(
        [0, 10, 20, 30].map((time) => ({ time, value: 100 - time })),
        40,
      ),
    ).toEqual({ median: 60, lower: 60, upper: 60 })
  })

  test('its 90 % interval covers the true crossing in 90 % of 4,000 simulated paths (normal errors, as Fieller assumes)', () => {
    const random = seededRandom(13)
    const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
    let covered = 0
    let answered = 0
    for (let path = 0; path < 4000; path++) {
      const readings = Array.from({ length: 8 }, (_, i) => ({ time: 7 * i, value: 100 - 0.5 * 7 * i + 2 * normal() }))
      const { lower, upper } = degradationLife(readings, 60, { level: 0.9 })
      answered++
      if (lower <= 80 && 80 <= upper) covered++
    }
    // Standard error 0.47 %.
    expect(Math.abs(covered / answered - 0.9)).toBeLessThan(0.02)
  })

  test('a slope that could be level has no upper limit; one that leads away is not estimable', () => {
    const unsure = degradationLife(
      [
        [0, 100],
        [10, 91],
        [20, 99],
        [30, 95],
      ].map(([time = 0, value = 0]) => ({ time, value })),
      50,
    )
    expect(unsure.upper).toBe(Infinity)
    expect(unsure.lower).toBeGreaterThan(0)
    expect(() =>
      degradationLife(
        [
          [0, 1],
          [1, 2],
          [2, 3],
        ].map(([time = 0, value = 0]) => ({ time, value })),
        0,
      ),
    ).toThrow(NotEstimable)
  })
})
