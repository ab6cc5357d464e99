import { logGamma } from './gamma'
import { normalQuantile } from './normal'

/** Continued fraction of the incomplete beta function (DLMF 8.17.22), by the modified Lentz method. */
function betaFraction(a: number, b: number, x: number): number {
  const tiny = 1e-300
  const guard = (value: number) => (Math.abs(value) < tiny ? tiny : value)
  let c = 1
  let d = 1 / guard(1 - ((a + b) * x) / (a + 1))
  let fraction = d
  for (let m = 1; m < 10_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m))
    d = 1 / guard(1 + even * d)
    c = guard(1 + even / c)
    fraction *= d * c
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1))
    d = 1 / guard(1 + odd * d)
    c = guard(1 + odd / c)
    fraction *= d * c
    if (Math.abs(d * c - 1) < 1e-16) break
  }
  return fraction
}

/**
 * Regularised incomplete beta function I_x(a, b).
 * Domain: a > 0, b > 0, 0 ≤ x ≤ 1. Errors: RangeError otherwise. Source: DLMF 8.17.
 * @example incompleteBeta(2, 3, 0.5) // 0.6875
 */
export function incompleteBeta(a: number, b: number, x: number): number {
  if (!(a > 0 && b > 0)) throw new RangeError(`the beta distribution needs shapes above 0, got ${a} and ${b}`)
  if (!(x >= 0 && x <= 1)) throw new RangeError(`the beta distribution is defined from 0 to 1, got ${x}`)
  if (x === 0 || x === 1) return x
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x))
  if (x < (a + 1) / (a + b + 2)) return (front * betaFraction(a, b, x)) / a
  return 1 - (front * betaFraction(b, a, 1 - x)) / b
}

/**
 * Quantile of Student's t distribution by bisection from the normal quantile outwards.
 * Domain: 0 < probability < 1, degreesOfFreedom > 0. Errors: RangeError otherwise.
 * @example studentQuantile(0.975, 10) // 2.228139
 */
export function studentQuantile(probability: number, degreesOfFreedom: number): number {
  if (!(probability > 0 && probability < 1))
    throw new RangeError(`a probability lies between 0 and 1, got ${probability}`)
  if (!(degreesOfFreedom > 0)) throw new RangeError(`degrees of freedom must be above 0, got ${degreesOfFreedom}`)
  if (probability === 0.5) return 0
  const tail = Math.min(probability, 1 - probability)
  const upperTail = (t: number) =>
    incompleteBeta(degreesOfFreedom / 2, 0.5, degreesOfFreedom / (degreesOfFreedom + t * t)) / 2
  let low = 0
  let high = Math.max(1, -normalQuantile(tail))
  while (upperTail(high) > tail && high < 1e300) {
    low = high
    high *= 2
  }
  for (let iteration = 0; iteration < 200 && high - low > 1e-15 * high; iteration++) {
    const middle = (low + high) / 2
    if (upperTail(middle) > tail) low = middle
    else high = middle
  }
  const t = (low + high) / 2
  return probability < 0.5 ? -t : t
}
