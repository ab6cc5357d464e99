import { checkObservations, type Observation } from './observation'
import { climbMasses } from './turnbull-masses'

export type TurnbullMass = { lower: number; upper: number; mass: number }

/**
 * Turnbull's non-parametric maximum likelihood estimate for intervals: how much probability lies in which stretch of age.
 * Each stretch is (lower, upper] (an age of its own where lower = upper); within it the data cannot say where. An upper of Infinity: beyond the last look.
 * Only stretches with mass are returned, in order; the masses sum to 1. Intervals are half-open: (a, b] and (b, c] do not overlap.
 * Converged by the Kuhn–Tucker conditions: the log-likelihood is within 10⁻⁹ of the highest.
 * Errors: RangeError on bad input, and on left truncation, which this estimate does not take. Source: Turnbull 1976, J. R. Stat. Soc. B 38: 290–295.
 * @example turnbull([{ lower: 0, upper: 15 }, { lower: 10, upper: 25 }]) // [{ lower: 10, upper: 15, mass: 1 }]
 */
export function turnbull(observations: readonly Observation[]): TurnbullMass[] {
  const checked = checkObservations(observations)
  const late = checked.findIndex(({ truncatedAt }) => truncatedAt > 0)
  if (late >= 0)
    throw new RangeError(
      `observation ${late + 1} entered late (truncatedAt); the Turnbull estimate here takes no late entries`,
    )
  const stretches = innermostStretches(checked)
  const members = checked.map((observation) => coveredStretches(stretches, observation))
  const masses = climbMasses(
    members,
    checked.map(({ weight }) => weight),
    stretches.length,
  )
  return stretches.map((stretch, index) => ({ ...stretch, mass: masses[index] ?? 0 })).filter(({ mass }) => mass > 0)
}

type Stretch = { lower: number; upper: number }

/** Stretches between a left end and the next right end with no other end between: the only places where mass can lie. */
function innermostStretches(observations: readonly Required<Observation>[]): Stretch[] {
  // Order at one age: the left end of an exact age (closed), right ends, the left end of an open interval.
  const ends: { at: number; order: 0 | 1 | 2 }[] = []
  for (const { lower, upper } of observations) {
    ends.push({ at: lower, order: lower === upper ? 0 : 2 })
    ends.push({ at: upper, order: 1 })
  }
  ends.sort((one, other) => (one.at === other.at ? one.order - other.order : one.at < other.at ? -1 : 1))
  const stretches: Stretch[] = []
  ends.forEach((end, index) => {
    const before = ends[index - 1]
    if (end.order === 1 && before && before.order !== 1) stretches.push({ lower: before.at, upper: end.at })
  })
  return stretches
}

/** First and last stretch inside an observation's interval; stretches are in order, so they are consecutive. */
function coveredStretches(stretches: readonly Stretch[], { lower, upper }: Stretch): { from: number; to: number } {
  const exact = lower === upper
  let from = 0
  let beyond = stretches.length
  while (from < beyond) {
    const middle = (from + beyond) >> 1
    const stretch = stretches[middle]
    // A stretch lies before the interval when it starts before it; an exact age at `lower` is not in (lower, upper].
    const before =
      stretch !== undefined &&
      (stretch.lower < lower ||
        (!exact && stretch.lower === lower && stretch.upper === lower) ||
        (exact && stretch.upper < upper))
    if (before) from = middle + 1
    else beyond = middle
  }
  let to = from
  while (to + 1 < stretches.length && (stretches[to + 1]?.upper ?? Infinity) <= upper && !exact) to++
  return { from, to }
}
