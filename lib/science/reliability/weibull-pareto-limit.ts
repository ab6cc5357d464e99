import type { Observation } from './observation'
import { logRatio } from './weibull-likelihood'

/**
 * The edge of the Weibull family at shape 0 for lives that were all entered late: hazard ρ t^(k−1) with k → 0, so that the
 * cumulative hazard from s to t is ρ ∫ u^(k−1) du = ρ (t^k − s^k) / k, at k = 0 ρ log(t / s). Left-censored lives from age 0 have probability 1 there.
 */
type Best = { rate: number; logLikelihood: number }

/** (t^k − s^k) / k, the hazard collected from s to t per unit of ρ, with times relative to `unit`; at k = 0 it is log(t / s). From 0 only for k > 0. */
function collected(from: number, to: number, k: number, unit: number): number {
  if (from === 0) return Math.exp(k * logRatio(to, unit)) / k
  const gap = logRatio(to, from)
  if (gap === 0) return 0
  const low = k * logRatio(from, unit)
  return k === 0 ? gap : (Math.exp(low) * Math.expm1(k * gap)) / k
}

function unitOf(observations: readonly Required<Observation>[]): number {
  return observations.find(({ truncatedAt }) => truncatedAt > 0)?.truncatedAt ?? 1
}

/** For a given k the log-likelihood is concave in ρ; its maximum by safeguarded Newton in log ρ. */
function bestRate(observations: readonly Required<Observation>[], k: number): Best {
  const unit = unitOf(observations)
  let constant = 0
  let exactWeight = 0
  let survived = 0
  const pieces: { weight: number; size: number }[] = []
  for (const { lower, upper, truncatedAt, weight } of observations) {
    if (lower > truncatedAt) survived += weight * collected(truncatedAt, lower, k, unit)
    if (upper === Infinity) continue
    if (lower === upper) {
      exactWeight += weight
      constant += weight * (k - 1) * logRatio(lower, unit)
    } else if (lower > 0 || k > 0) pieces.push({ weight, size: collected(lower, upper, k, unit) })
  }
  const value = (rate: number) => {
    let sum = constant + exactWeight * Math.log(rate) - rate * survived
    for (const { weight, size } of pieces) sum += weight * Math.log(-Math.expm1(-rate * size))
    return sum
  }
  // ρ · d/dρ: falls through 0 once; bracket by doubling, then bisect in log ρ.
  const slope = (rate: number) => {
    let sum = exactWeight - rate * survived
    for (const { weight, size } of pieces) {
      const d = rate * size
      sum += d > 700 ? 0 : weight * (d === 0 ? 1 : d / Math.expm1(d))
    }
    return sum
  }
  let low = 1
  let high = 1
  while (slope(low) < 0 && low > 1e-300) low /= 16
  while (slope(high) > 0 && high < 1e300) high *= 16
  for (let i = 0; i < 80 && high / low > 1 + 1e-12; i++) {
    const middle = Math.sqrt(low) * Math.sqrt(high)
    if (slope(middle) > 0) low = middle
    else high = middle
  }
  const rate = Math.sqrt(low) * Math.sqrt(high)
  return { rate, logLikelihood: value(rate) }
}

/** The best ρ at shape 0. */
export function bestPareto(observations: readonly Required<Observation>[]): Best {
  return bestRate(observations, 0)
}

/** Slope of the log-likelihood in the shape at shape 0 and the best ρ: ∫ u^(k−1) du has the derivative (log²t − log²s) / 2 there. */
export function paretoSlope(observations: readonly Required<Observation>[], { rate }: Best): number {
  const unit = unitOf(observations)
  const change = (from: number, to: number) => (logRatio(to, from) * (logRatio(to, unit) + logRatio(from, unit))) / 2
  let slope = 0
  for (const { lower, upper, truncatedAt, weight } of observations) {
    if (lower > truncatedAt) slope -= weight * rate * change(truncatedAt, lower)
    if (upper === Infinity || lower === 0) continue
    if (lower === upper) slope += weight * logRatio(lower, unit)
    else slope += (weight * rate * change(lower, upper)) / Math.expm1(rate * logRatio(upper, lower))
  }
  return slope
}

/** Is the likelihood at some shape above 0 higher than `edge`, its limit at shape 0? A scan over shapes, each with its best ρ. */
export function risesAboveEdge(observations: readonly Required<Observation>[], edge: number): boolean {
  const unit = unitOf(observations)
  let spread = 0
  for (const { lower, upper } of observations) {
    spread = Math.max(spread, Math.abs(logRatio(upper < Infinity ? upper : lower, unit)))
  }
  // Up to shapes at which the powers of the ages still stay within the range of numbers.
  for (let step = 0; step < 21; step++) {
    const k = (0.02 * 1.6 ** step) / Math.max(spread, 1e-12)
    const { logLikelihood } = bestRate(observations, k)
    if (Number.isFinite(logLikelihood) && logLikelihood > edge + 1e-9) return true
  }
  return false
}
