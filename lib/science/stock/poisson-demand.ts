import { incompleteGamma, logGamma } from '@/lib/science/special-functions'

/** P(X ≤ count) for Poisson demand: Q(count + 1, mean). */
export function poissonCdf(count: number, mean: number): number {
  if (count < 0) return 0
  return mean === 0 ? 1 : incompleteGamma(count + 1, mean).upper
}

/** P(X = count) for Poisson demand. */
export function poissonMass(count: number, mean: number): number {
  if (mean === 0) return count === 0 ? 1 : 0
  return Math.exp(count * Math.log(mean) - mean - logGamma(count + 1))
}

/** The least whole number s with P(X ≤ s) ≥ level; doubling, then halving. A level that is met but for rounding (1 part in 10¹²) counts as met. */
export function poissonQuantile(level: number, mean: number): number {
  const met = (count: number) => poissonCdf(count, mean) >= level * (1 - 1e-12)
  if (met(0)) return 0
  let low = 0
  let high = 1
  while (!met(high)) {
    low = high
    high *= 2
  }
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2)
    if (met(middle)) high = middle
    else low = middle
  }
  return high
}

export function checkMean(mean: number, name: string): void {
  if (!(mean >= 0 && mean <= 1e12)) throw new RangeError(`${name} must be a number from 0 to 10¹², got ${mean}`)
}
