import { describe, expect, test } from 'vitest'
import { demandForecast, newsvendor, reorderPoint } from '@/lib/science'
import { poissonCdf } from '@/lib/science/stock/poisson-demand'
import { expectRelative } from '../close-to'

describe('reorderPoint', () => {
  // Smallest s with P(D ≤ s) at the level: R qpois and ppois; the cumulative table at mean 4 (Stevenson, Operations Management 14e, appendix B table C) agrees.
  test.each([
    [0.5, 2, 0.95, 3, 0.981011843124],
    [1.2, 3, 0.9, 6, 0.926726584371],
    [4, 1, 0.95, 8, 0.978636565512],
    [4, 1, 0.99, 9, 0.991867757203],
    [0.1, 14, 0.95, 4, 0.98574670366],
    [0.02, 7, 0.9, 1, 0.991068388355],
    [2.5, 4, 0.98, 17, 0.985722386403],
    [0, 10, 0.95, 0, 1],
  ])('demand %d over %d at %d: %d', (meanDemand, leadTime, serviceLevel, point, achieved) => {
    const result = reorderPoint({ meanDemand, leadTime, serviceLevel })
    expect(result.reorderPoint).toBe(point)
    expectRelative(result.achieved, achieved, 1e-10)
  })

  test('large demand is near mean + 1.645 √mean at 95 %', () => {
    expect(
      Math.abs(reorderPoint({ meanDemand: 1e6, leadTime: 1, serviceLevel: 0.95 }).reorderPoint - 1_001_645),
    ).toBeLessThan(5)
  })

  test('refuses certainty and nonsense', () => {
    expect(() => reorderPoint({ meanDemand: 1, leadTime: 1, serviceLevel: 1 })).toThrow(RangeError)
    expect(() => reorderPoint({ meanDemand: -1, leadTime: 1, serviceLevel: 0.9 })).toThrow(RangeError)
  })
})

describe('newsvendor', () => {
  // First case: Stevenson, Operations Management 14e, ch. 12 example 15 (roses); the others from R, checked by brute force over the cost of 0 to 60.
  test.each([
    [4, 3, 2, 4, 0.6],
    [1.5, 80, 12, 3, 0.869565217391],
    [0.3, 400, 25, 1, 0.941176470588],
    [0.05, 60, 20, 0, 0.75],
    [12, 5, 5, 12, 0.5],
  ])('mean %d, shortage %d, excess %d: take %d', (meanDemand, shortage, excess, stock, ratio) => {
    const result = newsvendor({ meanDemand, shortage, excess })
    expect(result.stock).toBe(stock)
    expectRelative(result.criticalRatio, ratio, 1e-10)
  })

  test('spare parts from a table: Stevenson table 12.3, stock 2 at a ratio of .84', () => {
    const table = [0.2, 0.4, 0.3, 0.1].map((probability, demand) => ({ demand, probability }))
    expect(newsvendor({ table, shortage: 4200, excess: 800 })).toEqual({ stock: 2, criticalRatio: 0.84 })
    expect(newsvendor({ table, shortage: 4, excess: 1 }).stock).toBe(2)
    expect(newsvendor({ table, shortage: 3, excess: 2 }).stock).toBe(1) // .6 met exactly by .2 + .4
    expect(() => newsvendor({ table: table.slice(1), shortage: 1, excess: 1 })).toThrow(/sum to 1/)
  })
})

describe('demandForecast', () => {
  test('lives without wear make Poisson demand: mean horizon / scale a place, whatever the age', () => {
    const sources = [0, 30, 400].map((age) => ({ shape: 1, scale: 50, age }))
    const { probabilities, mean, variance } = demandForecast(sources, 100, 5)
    expect(Math.abs(mean - 6)).toBeLessThan(4 * Math.sqrt(6 / 4000))
    expect(Math.abs(variance / mean - 1)).toBeLessThan(0.1)
    let below = 0
    probabilities.forEach((probability, n) => {
      below += probability
      expect(Math.abs(below - poissonCdf(n, 6))).toBeLessThan(0.03)
    })
    expect(below).toBeCloseTo(1, 9)
  })

  test('wear makes demand steadier than Poisson, and an old part raises it', () => {
    const fresh = demandForecast([{ life: { shape: 4, scale: 50 } }], 100, 5)
    expect(fresh.variance).toBeLessThan(fresh.mean * 0.5)
    expect(demandForecast([{ life: { shape: 4, scale: 50 }, age: 45 }], 30, 5).mean).toBeGreaterThan(
      demandForecast([{ life: { shape: 4, scale: 50 } }], 30, 5).mean,
    )
  })

  test('planned renewals come on their days: every 10 within 35 is 3, and at once when overdue', () => {
    expect(demandForecast([{ life: { shape: 5, scale: 1e6 }, renewAt: 10 }], 35, 1).probabilities[3]).toBe(1)
    expect(demandForecast([{ life: { shape: 5, scale: 1e6 }, age: 50, renewAt: 10 }], 5, 1).probabilities[1]).toBe(1)
  })

  test('the same seed gives the same answer; no places need nothing; a posterior is drawn once a run', () => {
    const life = {
      draws: [
        { shape: 2, scale: 20, weight: 1 },
        { shape: 2, scale: 200, weight: 1 },
      ],
    }
    expect(demandForecast([{ life }], 100, 3)).toEqual(demandForecast([{ life }], 100, 3))
    expect(demandForecast([], 100, 3)).toEqual({ mean: 0, variance: 0, probabilities: [1] })
    // Not knowing which life it is makes the demand more spread out than chance alone.
    const unsure = demandForecast([{ life }], 100, 3)
    expect(unsure.variance).toBeGreaterThan(unsure.mean)
  })
})
