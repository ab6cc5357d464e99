import { conditionalQuantile, type Life } from '@/lib/science/reliability'
import { seededRandom } from '@/lib/science/seeded-random'

/**
 * One place that uses up a part: how long a fresh one lasts (as `life`, or written out), and how old the present one is (0 when absent).
 * `renewAt`: planned renewal age.
 */
export type DemandSource = ({ life: Life } | Life) & { age?: number; renewAt?: number }

export type DemandForecast = {
  mean: number
  variance: number
  /** probabilities[n]: chance that exactly n are needed within the horizon. Sums to 1. */
  probabilities: number[]
}

const RUNS = 4000
/** More renewals of one place than this within a horizon mean that the horizon or the life is in the wrong unit. */
const MOST_RENEWALS = 10_000

/**
 * How many parts will be needed within a horizon: each place renews when its part ends or at its planned age, whichever is first; a renewal process started at its
 * present age, simulated 4,000 times with the given seed and added up over the places (the same seed gives the same answer). The simulation error of a probability is
 * below 0.8 points.
 * Units: horizon, ages and lives in one unit of time. Errors: RangeError on bad input.
 * Source: renewal processes, Barlow & Proschan 1965, ch. 3.
 * @example demandForecast([{ shape: 2, scale: 100, age: 80 }], 90, 1).mean
 */
export function demandForecast(sources: readonly DemandSource[], horizon: number, seed: number): DemandForecast {
  if (!(horizon >= 0 && horizon < Infinity))
    throw new RangeError(`the horizon must be a number of 0 or more, got ${horizon}`)
  for (const { age = 0, renewAt = Infinity } of sources) {
    if (!(age >= 0 && age < Infinity)) throw new RangeError(`an age must be a number of 0 or more, got ${age}`)
    if (!(renewAt > 0)) throw new RangeError(`a planned age of renewal must be above 0, got ${renewAt}`)
  }
  const random = seededRandom(seed)
  const counts = new Map<number, number>()
  for (let run = 0; run < RUNS; run++) {
    let needed = 0
    for (const source of sources) needed += renewalsWithin(source, horizon, random)
    counts.set(needed, (counts.get(needed) ?? 0) + 1)
  }
  const most = Math.max(...counts.keys())
  const probabilities = Array.from({ length: most + 1 }, (_, n) => (counts.get(n) ?? 0) / RUNS)
  const mean = probabilities.reduce((sum, probability, n) => sum + n * probability, 0)
  const variance = probabilities.reduce((sum, probability, n) => sum + probability * (n - mean) ** 2, 0)
  return { mean, variance, probabilities }
}

function renewalsWithin(source: DemandSource, horizon: number, random: () => number): number {
  const { age = 0, renewAt = Infinity } = source
  const life: Life = 'life' in source ? source.life : source
  // A posterior is one unknown life, not a new one at each renewal: draw it once a run, weighing it by having reached this age.
  const own = 'draws' in life ? drawGivenAge(life.draws, age, random) : life
  let now = Math.min(conditionalQuantile(own, age, random()), Math.max(age, renewAt)) - age
  let count = 0
  while (now <= horizon) {
    count++
    if (count > MOST_RENEWALS)
      throw new RangeError('more than 10,000 renewals of one place fall within the horizon: check the units')
    now += Math.min(own.scale * (-Math.log1p(-random())) ** (1 / own.shape), renewAt)
  }
  return count
}

function drawGivenAge(
  draws: readonly { shape: number; scale: number; weight: number }[],
  age: number,
  random: () => number,
) {
  const reached = draws.map(({ shape, scale, weight }) => weight * Math.exp(-((age / scale) ** shape)))
  const total = reached.reduce((sum, weight) => sum + weight, 0)
  let left = random() * total
  const picked = draws.find((_, index) => {
    left -= reached[index] ?? 0
    return left < 0
  })
  const draw = picked ?? draws.at(-1)
  if (!draw) throw new RangeError('a life needs at least one draw')
  return draw
}
