// The full model is held to known truths in life-model.test.ts and by `npm run calibrate`; here the one kept at few points is held to it.
import { describe, expect, test } from 'vitest'
import {
  fitLifeModel,
  type LifeHistory,
  type LifePosterior,
  posteriorLife,
  quantileOf,
  sampleLife,
  seededRandom,
  thinLifeModel,
} from '@/lib/science'

const PRIOR = { logShape: { mean: Math.log(2), sd: 0.3 }, logScale: { mean: Math.log(180), sd: 0.7 } }

/** 40 tanks looked at every 14 days for five lives each; truth: Weibull 2, 200 days, tanks differ by a factor of e^0.3. */
function route(seed: number): LifeHistory[] {
  const random = seededRandom(seed)
  return Array.from({ length: 40 }, (_, i) => {
    const scale = 200 * Math.exp(0.3 * (random() + random() + random() - 1.5) * 2)
    return {
      tank: `tank ${i}`,
      device: 'one',
      observations: Array.from({ length: 5 }, () => {
        const seen = Math.floor(sampleLife({ shape: 2, scale }, random) / 14) * 14
        return seen > 280 ? { lower: 280, upper: Infinity } : { lower: seen, upper: seen + 14 }
      }),
    }
  })
}

function limits({ draws }: LifePosterior): number[] {
  const medians = draws.map((draw) => ({ median: quantileOf(draw, 0.5), weight: draw.weight }))
  medians.sort((a, b) => a.median - b.median)
  return [0.05, 0.5, 0.95].map((share) => {
    let reached = 0
    const at = medians.find(({ weight }) => {
      reached += weight
      return reached >= share
    })
    return at?.median ?? 0
  })
}

describe('a life model kept at few points', () => {
  test('moves the limits of a tank by some per cent at most, on average by less than 2', () => {
    let total = 0
    let count = 0
    for (const seed of [1, 2]) {
      const histories = route(seed)
      const full = fitLifeModel(histories, PRIOR)
      const kept = thinLifeModel(fitLifeModel(histories, PRIOR, { points: 128 }), 24)
      expect(kept.population).toHaveLength(24)
      for (const own of histories.slice(0, 10)) {
        const exact = limits(posteriorLife(own, full))
        limits(posteriorLife(own, kept)).forEach((limit, index) => {
          const moved = Math.abs(limit / (exact[index] ?? 0) - 1)
          expect(moved).toBeLessThan(0.06)
          total += moved
          count += 1
        })
      }
    }
    expect(total / count).toBeLessThan(0.02)
  })

  test('a model already at few points stays as it is; a count that is none is refused', () => {
    const model = fitLifeModel(route(3), PRIOR, { points: 32 })
    expect(thinLifeModel(model, 1000)).toBe(model)
    expect(() => thinLifeModel(model, 0)).toThrow(RangeError)
  })
})
