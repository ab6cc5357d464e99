import { NotEstimable, type NotEstimableCode, type Observation } from './observation'
import { logRatio } from './weibull-likelihood'
import { bestPareto, paretoSlope, risesAboveEdge } from './weibull-pareto-limit'

/**
 * Whether the Weibull likelihood has a finite maximum, told from the data alone, without running the fit. Returns the reason when it has none.
 *
 * The likelihood can only escape to an edge in these ways (shape k, cumulative hazard (t/scale)^k):
 * - no event at all: the scale runs away → 'no-events';
 * - k → ∞: all closed [lower, upper] share a point. A life whose watch began at `lower` (lower = truncatedAt) puts no floor under that point → 'shape-unbounded';
 * - k → 0 while some life was watched from its start past 0: then an exact or finite-interval event forbids it; with left-censored events only, the found share must
 *   rise with age. The sharp condition is that events are looked for later, on average of log age, than those still good; a flat isotonic curve fails it → 'flat';
 * - k → 0 where every survivor entered late: the hazard tends to ρ / t (a Pareto tail). If the likelihood still rises towards it → 'shape-zero'.
 *
 * Input as checked by `checkObservations`. Source: log-concavity of the extreme-value family (Burridge 1981, J. R. Stat. Soc. B 43: 41–45), from memory; limits derived here.
 */
export function weibullExistence(observations: readonly Required<Observation>[]): NotEstimableCode | null {
  let latestFloor = 0
  let earliestUpper = Infinity
  let events = false
  let watchedFromStart = false
  let bindingEvent = false
  for (const { lower, upper, truncatedAt } of observations) {
    if (lower > truncatedAt) latestFloor = Math.max(latestFloor, lower)
    if (truncatedAt === 0 && lower > 0) watchedFromStart = true
    if (upper === Infinity) continue
    events = true
    earliestUpper = Math.min(earliestUpper, upper)
    if (lower > 0) bindingEvent = true
  }
  if (!events) return 'no-events'
  if (latestFloor <= earliestUpper) return 'shape-unbounded'
  if (watchedFromStart) return bindingEvent || riseOfFoundShare(observations) ? null : 'flat'
  if (!bindingEvent) return 'shape-zero'
  const pareto = bestPareto(observations)
  if (paretoSlope(observations, pareto) > 0) return null
  // Exact and right-censored lives make a concave surface, where the slope at the edge decides. Truncated intervals need a look around.
  const onlyConcave = observations.every(({ lower, upper }) => upper === Infinity || lower === upper)
  if (onlyConcave) return 'shape-zero'
  return risesAboveEdge(observations, pareto.logLikelihood) ? null : 'shape-zero'
}

/**
 * Left-censored events and right-censored lives only: does the likelihood rise as the shape leaves 0?
 * With the found share p held at its best constant, its slope is a positive factor times (mean log age of the found − mean log age of the good), late entries
 * adding log(lower / entry) to the second.
 */
function riseOfFoundShare(observations: readonly Required<Observation>[]): boolean {
  const reference = observations.find(({ lower }) => lower > 0)?.lower ?? 1
  let foundWeight = 0
  let foundLog = 0
  let goodWeight = 0
  let goodLog = 0
  let spread = 0
  for (const { lower, upper, truncatedAt, weight } of observations) {
    const log = logRatio(upper < Infinity ? upper : lower, reference)
    if (upper < Infinity) {
      foundWeight += weight
      foundLog += weight * log
      spread = Math.max(spread, Math.abs(log))
    } else if (truncatedAt === 0) {
      goodWeight += weight
      goodLog += weight * log
      spread = Math.max(spread, Math.abs(log))
    } else goodLog += weight * logRatio(lower, truncatedAt)
  }
  if (foundLog / foundWeight - goodLog / goodWeight > 1e-13 * spread) return true
  // Late entries may make a second hump away from the edge.
  if (observations.every(({ truncatedAt }) => truncatedAt === 0)) return false
  const share = foundWeight / (foundWeight + goodWeight)
  return risesAboveEdge(observations, foundWeight * Math.log(share) + goodWeight * Math.log1p(-share))
}

/** Throws `NotEstimable` when `weibullExistence` finds no finite maximum. */
export function assertEstimable(observations: readonly Required<Observation>[]): void {
  const code = weibullExistence(observations)
  if (code) throw new NotEstimable(code)
}
