import { incompleteGamma } from './gamma'

/**
 * Standard normal distribution function, Φ(z) = ½ Q(½, z²/2) for z ≤ 0; accurate in both tails when asked for Φ(−|z|).
 * Domain: any number, ±Infinity allowed. Errors: RangeError on NaN. Source: DLMF 7.2.2 and 7.11.2.
 * @example normalCdf(1.959963985) // 0.975
 */
export function normalCdf(z: number): number {
  if (Number.isNaN(z)) throw new RangeError('the normal distribution needs a number, got NaN')
  const tail = incompleteGamma(0.5, (z * z) / 2).upper / 2
  return z <= 0 ? tail : 1 - tail
}

/**
 * Standard normal quantile: the z with Φ(z) = probability.
 * Domain: 0 ≤ probability ≤ 1 (0 and 1 give ∓Infinity). Errors: RangeError otherwise.
 * Method: Abramowitz & Stegun 26.2.23 as the start, then Halley steps on Φ.
 * @example normalQuantile(0.95) // 1.6448536
 */
export function normalQuantile(probability: number): number {
  if (!(probability >= 0 && probability <= 1))
    throw new RangeError(`a probability lies from 0 to 1, got ${probability}`)
  if (probability === 0) return -Infinity
  if (probability === 1) return Infinity
  if (probability === 0.5) return 0
  const tail = Math.min(probability, 1 - probability)
  const root = Math.sqrt(-2 * Math.log(tail))
  let z =
    -root +
    (2.515517 + 0.802853 * root + 0.010328 * root * root) /
      (1 + 1.432788 * root + 0.189269 * root * root + 0.001308 * root ** 3)
  for (let iteration = 0; iteration < 4; iteration++) {
    const density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)
    if (density === 0) break
    const newton = (normalCdf(z) - tail) / density
    z -= newton / (1 + (z * newton) / 2)
  }
  return probability < 0.5 ? z : -z
}
