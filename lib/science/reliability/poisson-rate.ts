import { incompleteGamma, inverseIncompleteGamma } from '@/lib/science/special-functions'

export function checkCount(count: number, name = 'count'): void {
  if (!(Number.isInteger(count) && count >= 0))
    throw new RangeError(`${name} must be a whole number of 0 or more, got ${count}`)
}

export function checkExposure(exposure: number): void {
  if (!(exposure > 0 && exposure < Infinity)) throw new RangeError(`exposure must be a number above 0, got ${exposure}`)
}

export function checkLevel(level: number): void {
  if (!(level > 0 && level < 1)) throw new RangeError(`level must lie between 0 and 1, got ${level}`)
}

/**
 * Rate of events with its exact two-sided interval: lower = P⁻¹(count, α/2) / exposure, upper = P⁻¹(count + 1, 1 − α/2) / exposure, α = 1 − level.
 * Units: events per unit of exposure. The lower limit at count 0 is 0. Errors: RangeError on bad input. Source: Garwood 1936, Biometrika 28: 437–442.
 * @example poissonRateInterval(25, 1, 0.95) // 16.18 to 36.90
 */
export function poissonRateInterval(
  count: number,
  exposure: number,
  level: number,
): { rate: number; lower: number; upper: number } {
  checkCount(count)
  checkExposure(exposure)
  checkLevel(level)
  const tail = (1 - level) / 2
  return {
    rate: count / exposure,
    lower: count === 0 ? 0 : inverseIncompleteGamma(count, tail, 'lower') / exposure,
    upper: inverseIncompleteGamma(count + 1, tail, 'upper') / exposure,
  }
}

/**
 * Chance of at least `count` events when `mean` are expected: P(X ≥ count) = P(count, mean), the one-sided exact Poisson p-value.
 * Errors: RangeError on bad input. Source: DLMF 8.4.10 (incomplete gamma of whole order).
 * @example poissonUpperTail(3, 1) // 0.0803
 */
export function poissonUpperTail(count: number, mean: number): number {
  checkCount(count)
  if (!(mean >= 0 && mean < Infinity)) throw new RangeError(`mean must be a number of 0 or more, got ${mean}`)
  return count === 0 ? 1 : incompleteGamma(count, mean).lower
}

/**
 * Posterior chance that a Gamma-distributed rate lies above r: Q(shape, rate · r). A shape of 0 means a rate of 0.
 * Errors: RangeError on bad input.
 * @example probabilityAbove({ shape: 1, rate: 1 }, 1) // 0.3679
 */
export function probabilityAbove({ shape, rate }: { shape: number; rate: number }, r: number): number {
  if (!(shape >= 0 && shape < Infinity)) throw new RangeError(`shape must be a number of 0 or more, got ${shape}`)
  if (!(rate > 0 && rate < Infinity)) throw new RangeError(`rate must be a number above 0, got ${rate}`)
  if (Number.isNaN(r)) throw new RangeError('r must be a number, got NaN')
  if (r < 0) return 1
  return shape === 0 ? 0 : incompleteGamma(shape, rate * r).upper
}

/**
 * The value that a Gamma-distributed rate stays below with chance q. Domain: shape and rate above 0, 0 < q < 1. Errors: RangeError on bad input.
 * @example gammaQuantile({ shape: 1, rate: 1 }, 0.5) // 0.693
 */
export function gammaQuantile({ shape, rate }: { shape: number; rate: number }, q: number): number {
  checkExposure(shape)
  checkExposure(rate)
  checkLevel(q)
  return inverseIncompleteGamma(shape, q, 'lower') / rate
}
