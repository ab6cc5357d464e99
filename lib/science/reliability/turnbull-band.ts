import type { RandomSource } from './life-distribution'
import { checkObservations, type Observation } from './observation'
import { type TurnbullMass, turnbull } from './turnbull'

export type SurvivalBandPoint = { time: number; lower: number; upper: number }

const CELLS = 36

/**
 * Pointwise band around Turnbull's estimate: whole clusters are drawn anew with replacement, the estimate is made again from each draw, and at every age the band runs from the
 * (1 − level)/2 quantile of its lower edge to the (1 + level)/2 quantile of its upper edge. The edges differ where the data cannot say when within a stretch mass lies, so the
 * band holds that doubt too. For speed all ages are rounded to one of 36 even steps up to `until`, and the band is given at those steps. Not simultaneous: about one age in ten
 * (at level 0.9) may lie outside by chance.
 * Domain: as `turnbull` (no late entries), one cluster label an observation, at least two clusters, until above 0. `random` gives uniform numbers in [0, 1). Errors: RangeError.
 * Source: Efron & Tibshirani 1993, An Introduction to the Bootstrap, ch. 8 and 13; clusters: Davison & Hinkley 1997, Bootstrap Methods and their Application, § 3.8.
 * @example turnbullBand(lives, { cluster: tanks, until: 60, resamples: 80, random: seededRandom(1) })
 */
export function turnbullBand(
  observations: readonly Observation[],
  options: { cluster: readonly string[]; until: number; resamples: number; random: RandomSource; level?: number },
): SurvivalBandPoint[] {
  const { cluster, until, resamples, random, level = 0.9 } = options
  if (cluster.length !== observations.length)
    throw new RangeError(`one cluster label an observation is needed: ${observations.length}, got ${cluster.length}`)
  if (!(until > 0 && until < Infinity)) throw new RangeError(`until must be above 0, got ${until}`)
  if (!(Number.isInteger(resamples) && resamples >= 20))
    throw new RangeError(`resamples must be a whole number from 20, got ${resamples}`)
  if (!(level > 0 && level < 1)) throw new RangeError(`level must lie between 0 and 1, got ${level}`)
  const groups = new Map<string, Observation[]>()
  checkObservations(observations).forEach(({ truncatedAt: _, ...observation }, i) => {
    if ((observations[i]?.truncatedAt ?? 0) > 0)
      throw new RangeError(`observation ${i + 1} entered late (truncatedAt); the band here takes no late entries`)
    const stepped = inSteps(observation, until / CELLS)
    if (!stepped) return
    const label = cluster[i] ?? ''
    groups.set(label, [...(groups.get(label) ?? []), stepped])
  })
  const members = [...groups.values()]
  if (members.length < 2) throw new RangeError('a band needs at least two clusters')
  const draws = Array.from({ length: resamples }, () => turnbull(drawClusters(members, random)))
  return Array.from({ length: CELLS + 1 }, (_, step) => {
    const edges = draws.map((masses) => edgesAt(masses, step))
    const lowers = edges.map(({ lower }) => lower).sort((a, b) => a - b)
    const uppers = edges.map(({ upper }) => upper).sort((a, b) => a - b)
    const time = (until * step) / CELLS
    return { time, lower: quantile(lowers, (1 - level) / 2), upper: quantile(uppers, (1 + level) / 2) }
  })
}

/** Ages as whole numbers of steps; null where nothing is left to say. */
function inSteps({ lower, upper, weight = 1 }: Observation, step: number): Observation | null {
  const from = Math.round(lower / step)
  if (upper === Infinity) return from === 0 ? null : { lower: from, upper, weight }
  return { lower: from, upper: Math.max(from + 1, Math.round(upper / step)), weight }
}

/** As many clusters as there are, with replacement; equal observations are counted together. */
function drawClusters(members: readonly Observation[][], random: RandomSource): Observation[] {
  const drawn = new Map<string, Observation & { weight: number }>()
  for (let i = 0; i < members.length; i++)
    for (const { lower, upper, weight = 1 } of members[Math.floor(random() * members.length)] ?? []) {
      const key = `${lower} ${upper}`
      const known = drawn.get(key)
      if (known) known.weight += weight
      else drawn.set(key, { lower, upper, weight })
    }
  return [...drawn.values()]
}

/** Survival at a time: least where all mass of a stretch that has begun is gone, most where it is gone only at the stretch's end. */
function edgesAt(masses: readonly TurnbullMass[], time: number): { lower: number; upper: number } {
  let begun = 0
  let ended = 0
  for (const { lower, upper, mass } of masses) {
    if (lower < time || upper <= time) begun += mass
    if (upper <= time) ended += mass
  }
  return { lower: Math.max(0, 1 - begun), upper: Math.max(0, 1 - ended) }
}

function quantile(sorted: readonly number[], share: number): number {
  const at = share * (sorted.length - 1)
  const below = sorted[Math.floor(at)] ?? 0
  return below + ((sorted[Math.ceil(at)] ?? below) - below) * (at - Math.floor(at))
}
