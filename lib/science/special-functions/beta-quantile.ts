import { incompleteBeta } from './student'

/**
 * Quantile of the beta distribution: the x with I_x(a, b) = probability, by bisection; full relative precision close to 0.
 * Domain: a > 0, b > 0, 0 ≤ probability ≤ 1. Errors: RangeError otherwise.
 * @example betaQuantile(0.5, 2, 3) // 0.38573
 */
export function betaQuantile(probability: number, a: number, b: number): number {
  if (!(probability >= 0 && probability <= 1))
    throw new RangeError(`a probability lies from 0 to 1, got ${probability}`)
  if (!(a > 0 && b > 0)) throw new RangeError(`the beta distribution needs shapes above 0, got ${a} and ${b}`)
  if (probability === 0 || probability === 1) return probability
  let low = 0
  let high = 1
  for (let step = 0; step < 1100 && high - low > 1e-16 * high; step++) {
    // Halving the exponent first finds the scale of a very small quantile in few steps.
    const middle = low === 0 && high < 0.5 ? high * high : (low + high) / 2
    if (middle <= low || middle >= high) break
    if (incompleteBeta(a, b, middle) < probability) low = middle
    else high = middle
  }
  return (low + high) / 2
}
