import type { Observation } from '@/lib/science'

/** The Weibull log-likelihood in its textbook form, as a yardstick that shares no code with the fit. Good to about 1e-12 for moderate data. */
export function plainLogLikelihood(observations: readonly Observation[], shape: number, scale: number): number {
  const hazard = (t: number) => (t / scale) ** shape
  let sum = 0
  for (const { lower: given, upper, truncatedAt = 0, weight = 1 } of observations) {
    const lower = Math.max(given, truncatedAt)
    const survived = lower > truncatedAt ? hazard(lower) - hazard(truncatedAt) : 0
    let event = 0
    if (upper < Infinity) {
      event =
        lower === upper
          ? Math.log(shape / scale) + (shape - 1) * Math.log(lower / scale)
          : Math.log(-Math.expm1(-(hazard(upper) - hazard(lower))))
    }
    sum += weight * (event - survived)
  }
  return sum
}
