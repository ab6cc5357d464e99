import { seededRandom } from '@/lib/science/seeded-random'
import { checkSource, type DemandSource, samplerOf } from './demand-source'
import { NORMAL_STEPS } from './life-in-doubt'

export type DemandForecast = {
  mean: number
  variance: number
  /** probabilities[n]: chance that exactly n are needed within the horizon (a begun unit counts as whole). Sums to 1. */
  probabilities: number[]
}

const RUNS = 4000

/**
 * How many parts will be needed within a horizon: each place renews when its part ends or at its planned age, whichever is first; a renewal process started at its
 * present age, simulated 4,000 times with the given seed and added up over the places (the same seed gives the same answer). The simulation error of a probability is
 * below 0.8 points. What a group of places does not know of its common life is drawn once a run for all of them.
 * Units: horizon, ages and lives in one unit of time. Errors: RangeError on bad input.
 * Source: renewal processes, Barlow & Proschan 1965, ch. 3; uses without a life behind them: Gamma–Poisson.
 * @example demandForecast([{ shape: 2, scale: 100, age: 80 }], 90, 1).mean
 */
export function demandForecast(
  sources: readonly DemandSource[],
  horizon: number,
  seed: number,
  { runs = RUNS }: { runs?: number } = {},
): DemandForecast {
  if (!(horizon >= 0 && horizon < Infinity))
    throw new RangeError(`the horizon must be a number of 0 or more, got ${horizon}`)
  if (!(Number.isInteger(runs) && runs >= 1)) throw new RangeError(`runs must be a whole number above 0, got ${runs}`)
  for (const source of sources) checkSource(source)
  const random = seededRandom(seed)
  const samplers = sources.map((source) => samplerOf(source, horizon))
  const counts = new Map<number, number>()
  const shared = new Map<string, number>()
  const sharedOf = (group: string) => {
    const drawn = shared.get(group)
    if (drawn !== undefined) return drawn
    const step = Math.floor(random() * NORMAL_STEPS.length)
    shared.set(group, step)
    return step
  }
  for (let run = 0; run < runs; run++) {
    let needed = 0
    shared.clear()
    for (const sample of samplers) needed += sample(random, sharedOf)
    // Sums of thousandths miss whole numbers by rounding only.
    const units = Math.ceil(needed - 1e-9)
    counts.set(units, (counts.get(units) ?? 0) + 1)
  }
  const most = Math.max(...counts.keys())
  const probabilities = Array.from({ length: most + 1 }, (_, n) => (counts.get(n) ?? 0) / runs)
  const mean = probabilities.reduce((sum, probability, n) => sum + n * probability, 0)
  const variance = probabilities.reduce((sum, probability, n) => sum + probability * (n - mean) ** 2, 0)
  return { mean, variance, probabilities }
}
