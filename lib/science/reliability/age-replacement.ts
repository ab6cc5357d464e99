import { incompleteGamma, logGamma } from '@/lib/science/special-functions'
import { checkWeibull, cumulativeHazard, type WeibullParameters } from './life-distribution'

export type ReplacementAge = {
  /** Infinity: run to failure. */
  age: number
  /** Cost per unit of time at that age. */
  costRate: number
  costRateRunToFailure: number
}

/** A saving below this share of the cost of running to failure is no saving: the optimum lies at ages that nothing reaches. */
const NO_SAVING = 1e-10

/** ∫₀ᵗ S of a Weibull life: scale · Γ(1 + 1/shape) · P(1/shape, (t/scale)^shape). */
export function expectedAgeBy(life: WeibullParameters, t: number): number {
  const mean = life.scale * Math.exp(logGamma(1 + 1 / life.shape))
  return mean * incompleteGamma(1 / life.shape, cumulativeHazard(life, t)).lower
}

export function checkCost(value: number, name: string, least: 'zero' | 'above'): void {
  const fine = least === 'zero' ? value >= 0 : value > 0
  if (!(fine && value < Infinity)) {
    throw new RangeError(`${name} must be a number ${least === 'zero' ? 'of 0 or more' : 'above 0'}, got ${value}`)
  }
}

/**
 * The age at which planned replacement is cheapest, when replacing at that age or at failure, whichever comes first.
 * Cost rate C(T) = [preventive · S(T) + failure · (1 − S(T))] / ∫₀ᵀ S; the best T solves h(T) · ∫₀ᵀ S − (1 − S(T)) = preventive / (failure − preventive).
 * Units: age in those of scale, costs in any one currency. Never (Infinity) when shape ≤ 1, when failure costs no more than preventive, or when
 * planned replacement would save less than one part in 10¹⁰. Errors: RangeError on bad input.
 * Source: Barlow & Proschan 1965, Mathematical Theory of Reliability, ch. 4.
 * @example optimalReplacementAge({ shape: 2.5, scale: 1000 }, { preventive: 1, failure: 5 }).age // 493.047
 */
export function optimalReplacementAge(
  life: WeibullParameters,
  { preventive, failure }: { preventive: number; failure: number },
): ReplacementAge {
  checkWeibull(life)
  checkCost(preventive, 'preventive', 'above')
  checkCost(failure, 'failure', 'above')
  const { shape, scale } = life
  const mean = Math.exp(logGamma(1 + 1 / shape))
  const costRateRunToFailure = failure / (scale * mean)
  const never = { age: Infinity, costRate: costRateRunToFailure, costRateRunToFailure }
  if (!(mean < Infinity)) return { age: Infinity, costRate: 0, costRateRunToFailure: 0 }
  if (shape <= 1 || failure <= preventive) return never
  const target = preventive / (failure - preventive)
  // In x = (T / scale)^shape: the left side rises from 0 without bound, so one root.
  const excess = (x: number) =>
    shape * x ** (1 - 1 / shape) * mean * incompleteGamma(1 / shape, x).lower + Math.expm1(-x) - target
  let low = 0
  let high = 1
  while (excess(high) < 0) {
    low = high
    high *= 2
    if (high > 1e6) return never
  }
  while (low === 0 && high > 1e-300 && excess(high / 16) > 0) high /= 16
  low = Math.max(low, high / 16)
  for (let i = 0; i < 200 && high - low > 1e-16 * high; i++) {
    const middle = low + (high - low) / 2
    if (middle <= low || middle >= high) break
    if (excess(middle) > 0) high = middle
    else low = middle
  }
  const x = low + (high - low) / 2
  const age = scale * x ** (1 / shape)
  const costRate = ((failure - preventive) * shape * x ** (1 - 1 / shape)) / scale
  if (!(costRate < costRateRunToFailure * (1 - NO_SAVING))) return never
  return { age, costRate, costRateRunToFailure }
}
