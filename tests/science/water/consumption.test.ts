import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { consumptionPerDay, seededRandom, theilSenInterval } from '@/lib/science'
import { evenly } from '../evenly'

const atDays = (...days: number[]) => days.map((time) => ({ time, rise: 0.3 }))

describe('interval of a Theil–Sen slope', () => {
  // Data of Sen's worked example (JASA 63: 1379–1389), from memory, with its slope of 4. Hollander & Wolfe (Nonparametric statistical methods, ch. 9): ranks (N − C) / 2 and (N + C) / 2 + 1, C = k − 2, where
  // Kendall's table has P(S ≥ k): 0.035 at k = 13 for n = 7, 0.015 at k = 15 (from memory). So 5 and 17 of 21 for 93 %, 4 and 18 for 97 %; the latter, 26/7 to 35/8, is the interval that Sen prints, from memory.
  test('the worked example of Sen 1968: 4, and 26/7 to 35/8 at 97 %', () => {
    const t = [1, 2, 3, 4, 10, 12, 18]
    const x = [9, 15, 19, 20, 45, 55, 78]
    const path = t.map((time, index) => ({ time, value: x[index] ?? 0 }))
    expect(theilSenInterval(path, 0.969)).toEqual({ slope: 4, lower: 26 / 7, upper: 35 / 8 })
    expect(theilSenInterval(path, 0.93)).toEqual({ slope: 4, lower: 30 / 8, upper: 46 / 11 })
  })
  test('by brute force: over all orders of the errors it holds the true slope as often as promised, and one rank narrower would not', () => {
    const errors = [0, 1, 2.3, 4.1, 7.7, 9.2, 15.9]
    const orders = (left: readonly number[]): number[][] =>
      left.length === 0
        ? [[]]
        : left.flatMap((first, index) => orders(left.toSpliced(index, 1)).map((rest) => [first, ...rest]))
    for (const [count, level] of [
      [4, 0.9],
      [5, 0.8],
      [5, 0.95],
      [6, 0.9],
      [7, 0.5],
      [7, 0.95],
    ] as const) {
      const paths = orders(errors.slice(0, count)).map((order) => order.map((error, time) => ({ time, value: error })))
      const slopes = paths.map((path) =>
        path
          .flatMap((from, index) => path.slice(index + 1).map((to) => (to.value - from.value) / (to.time - from.time)))
          .toSorted((one, other) => one - other),
      )
      // The true slope is 0: how many slopes lie below it, at least r and at most N − r?
      const below = slopes.map((sorted) => sorted.filter((slope) => slope < 0).length)
      const held = (r: number) =>
        below.filter((many, index) => many >= r && many <= (slopes[index]?.length ?? 0) - r).length / paths.length
      const rank = Array.from({ length: 20 }, (_, r) => r).findLast((r) => held(r) >= level - 1e-12) ?? 0
      expect(rank).toBeGreaterThan(0)
      paths.forEach((path, index) => {
        const { lower, upper } = theilSenInterval(path, level)
        expect(lower).toBe(slopes[index]?.at(rank - 1))
        expect(upper).toBe(slopes[index]?.at(-rank))
      })
    }
  })
  test('too few readings say nothing at this level: infinite, not narrow', () => {
    const path = [0, 1, 2, 3].map((time) => ({ time, value: time }))
    expect(theilSenInterval(path, 0.9)).toEqual({ slope: 1, lower: 1, upper: 1 })
    expect(theilSenInterval(path, 0.95)).toEqual({ slope: 1, lower: -Infinity, upper: Infinity })
    expect(() => theilSenInterval([...path, { time: 3, value: 1 }], 0.9)).toThrow(/different times/)
  })
})

describe('consumption', () => {
  test('without errors of reading it is found exactly, whatever was added and when', () => {
    fc.assert(
      fc.property(
        evenly(0.01, 0.5),
        fc.uniqueArray(fc.integer({ min: 0, max: 60 }), { minLength: 5, maxLength: 12 }),
        fc.array(fc.record({ time: fc.integer({ min: 0, max: 60 }), rise: evenly(-1, 2) }), { maxLength: 9 }),
        (use, days, additions) => {
          // The tank as it would have been: an addition shows from the moment after it.
          const valueAt = (day: number) =>
            3 - use * day + additions.filter(({ time }) => time < day).reduce((sum, { rise }) => sum + rise, 0)
          const readings = days.map((time) => ({ time, value: valueAt(time) }))
          const { perDay, lower, upper } = consumptionPerDay({ readings, additions })
          expect(perDay).toBeCloseTo(use, 9)
          expect(lower).toBeCloseTo(use, 9)
          expect(upper).toBeCloseTo(use, 9)
        },
      ),
    )
  })
  test('with errors of reading the interval of 90 % holds the truth in 90 % of 400 tanks or more, less chance', () => {
    const random = seededRandom(1968)
    let held = 0
    for (let tank = 0; tank < 400; tank += 1) {
      const readings = [0, 7, 14, 21, 28, 35, 42, 49].map((time) => ({
        time,
        value: 3 - 0.08 * time + 0.3 * (time / 7) + 0.4 * (random() + random() - 1),
      }))
      const { lower, upper } = consumptionPerDay({ readings, additions: atDays(0, 7, 14, 21, 28, 35, 42) })
      if (lower <= 0.08 && 0.08 <= upper) held += 1
    }
    // 400 tanks: standard deviation 1.5 points.
    expect(held / 400).toBeGreaterThan(0.855)
    expect(held / 400).toBeLessThan(0.98)
  })
  test('two readings on one day count as their mean; one day alone says nothing', () => {
    const readings = [
      { time: 0, value: 3 },
      { time: 0, value: 3.2 },
      { time: 10, value: 2.1 },
    ]
    expect(consumptionPerDay({ readings, additions: [] }).perDay).toBeCloseTo(0.1, 12)
    expect(() => consumptionPerDay({ readings: readings.slice(0, 2), additions: [] })).toThrow(RangeError)
    expect(() => consumptionPerDay({ readings, additions: [{ time: 0, rise: Number.NaN }] })).toThrow(/addition/)
    const wild = [-1, 1, -1, 1].map((sign, time) => ({ time, value: sign * 1.7e308 }))
    expect(() => consumptionPerDay({ readings: wild, additions: [] })).toThrow(/too far apart/)
  })
})
