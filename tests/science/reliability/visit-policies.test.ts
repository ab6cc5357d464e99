import { describe, expect, test } from 'vitest'
import {
  ageAtFirstSight,
  policySaving,
  remainingQuantiles,
  survivalAt,
  type VisitCosts,
  visitPolicyCosts,
} from '@/lib/science'
import { visitReplacementCost } from '@/lib/science/reliability/visit-replacement'
import { seededRandom } from '@/lib/science/seeded-random'
import { incompleteGamma } from '@/lib/science/special-functions'

const costs: VisitCosts = {
  visitEvery: 14,
  planned: 20,
  found: 40,
  callOut: 120,
  shareReported: 0.3,
  hiddenCostPerDay: 1,
}

describe('plans side by side', () => {
  test('for a life that is known they are the cost curve of visit replacement, summed to the end', () => {
    const random = seededRandom(21)
    for (let run = 0; run < 200; run++) {
      const life = { shape: 0.5 + 5 * random(), scale: 10 + 3000 * random() }
      const plans = [1, 2, 5, 13, 40, 120, 400, Infinity]
      const { rates } = visitPolicyCosts(life, costs, plans)
      const curve = visitReplacementCost(life, costs)
      plans.forEach((plan, index) => {
        const expected = curve(plan)
        expect(Math.abs((rates[index]?.[0] ?? 0) - expected)).toBeLessThan(1e-7 * expected)
      })
    }
  })
  test('a posterior gives one cost per draw, weighed in the mean; a saving is taken draw by draw', () => {
    const draws = [
      { shape: 3, scale: 140, weight: 3 },
      { shape: 1, scale: 300, weight: 1 },
    ]
    const table = visitPolicyCosts({ draws }, costs, [8, Infinity])
    expect(table.weights).toEqual([0.75, 0.25])
    const one = (draw: number, plan: number) => table.rates[plan]?.[draw] ?? 0
    expect(table.means[0]).toBeCloseTo(0.75 * one(0, 0) + 0.25 * one(1, 0), 12)
    const saving = policySaving(table, 1, 0)
    expect(saving.mean).toBeCloseTo((table.means[1] ?? 0) - (table.means[0] ?? 0), 12)
    // The memoryless draw loses by early work, the wearing one gains.
    expect(saving).toMatchObject({ chance: 0.75 })
    expect(saving.lower).toBeLessThan(0)
    expect(saving.upper).toBeGreaterThan(0)
  })
  test('a life beyond the range of numbers is refused, never answered with NaN', () => {
    expect(() => visitPolicyCosts({ shape: 0.003, scale: 100 }, costs, [1, 5, Infinity])).toThrow(RangeError)
    for (const mean of visitPolicyCosts({ shape: 0.02, scale: 100 }, costs, [1, 5, Infinity]).means)
      expect(mean).toBeGreaterThan(0)
  })
  test('bad plans are refused', () => {
    expect(() => visitPolicyCosts({ shape: 1, scale: 1 }, costs, [0.5])).toThrow(RangeError)
    expect(() => policySaving(visitPolicyCosts({ shape: 1, scale: 1 }, costs, [1]), 0, 1)).toThrow(RangeError)
  })
})

describe('a device met by chance', () => {
  test('without wear: the median of the exponential, whatever was seen since (its memorylessness)', () => {
    for (const observed of [0, 5, 50])
      expect(ageAtFirstSight({ shape: 1, scale: 10 }, observed)).toBeCloseTo(10 * Math.LN2, 4)
  })
  test('as simulated: devices in a renewal process looked at on a random day (truth Weibull 2.5, 100 days, 20,000 of them)', () => {
    const random = seededRandom(12)
    const life = { shape: 2.5, scale: 100 }
    for (const observed of [0, 30, 80]) {
      const ages: number[] = []
      while (ages.length < 20_000) {
        let start = 0
        let end = 0
        // Far enough in for the process to have forgotten its start.
        while (end <= 1000) {
          start = end
          end += life.scale * (-Math.log(1 - random())) ** (1 / life.shape)
        }
        const day = 1000
        if (end > day + observed) ages.push(day - start)
      }
      ages.sort((a, b) => a - b)
      const median = ages[10_000] ?? 0
      // The median of 20,000 ages has a standard error of about a third of a day here.
      expect(Math.abs(ageAtFirstSight(life, observed) - median)).toBeLessThan(1.5)
    }
  })
  test('a wearing device that has lasted long in our sight was young when first seen; never NaN, however long', () => {
    const life = { shape: 3, scale: 100 }
    expect(ageAtFirstSight(life, 150)).toBeLessThan(ageAtFirstSight(life, 20))
    for (const observed of [0, 1, 1e3, 1e6]) {
      const age = ageAtFirstSight(life, observed)
      expect(age).toBeGreaterThanOrEqual(0)
      expect(survivalAt(life, age)).toBeGreaterThanOrEqual(0)
    }
  })
  test('what is left, as simulated: one in ten, half and nine in ten of 20,000 devices met by chance (truth Weibull 2.5, 100 days)', () => {
    const random = seededRandom(31)
    const life = { shape: 2.5, scale: 100 }
    const shares = [0.1, 0.5, 0.9]
    for (const observed of [0, 60]) {
      const left: number[] = []
      while (left.length < 20_000) {
        let end = 0
        while (end <= 1000) end += life.scale * (-Math.log(1 - random())) ** (1 / life.shape)
        if (end > 1000 + observed) left.push(end - 1000 - observed)
      }
      const found = remainingQuantiles(life, observed, shares)
      // Binomial standard error of a share of 20,000: at most 0.36 points.
      for (const [i, share] of shares.entries())
        expect(left.filter((days) => days <= (found[i] ?? 0)).length / 20_000).toBeCloseTo(share, 2)
    }
  })
  test('draws that hold the time seen already are not weighed by it again: the same answer as weighing the draws of before once', () => {
    const before = [
      { shape: 1.5, scale: 60, weight: 0.3 },
      { shape: 2, scale: 120, weight: 0.5 },
      { shape: 4, scale: 250, weight: 0.2 },
    ]
    const shares = [0.05, 0.5, 0.95]
    const chanceLeft = ({ shape, scale }: { shape: number; scale: number }, t: number) =>
      incompleteGamma(1 / shape, (t / scale) ** shape).upper
    for (const observed of [10, 90, 300]) {
      const after = before.map((draw) => ({ ...draw, weight: draw.weight * chanceLeft(draw, observed) }))
      const once = remainingQuantiles({ draws: before }, observed, shares)
      const found = remainingQuantiles({ draws: after }, observed, shares, { alreadyWeighed: true })
      for (const [i, days] of once.entries()) expect(found[i]).toBeCloseTo(days, 8)
      const twice = remainingQuantiles({ draws: after }, observed, shares)
      expect(twice[1]).toBeGreaterThan(1.001 * (once[1] ?? 0))
    }
  })
})
