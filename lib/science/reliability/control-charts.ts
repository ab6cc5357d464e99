export type EwmaPoint = { value: number; ewma: number; lower: number; upper: number; signal: boolean }
export type CusumPoint = { value: number; high: number; low: number; signalHigh: boolean; signalLow: boolean }

function checkNumber(value: number, name: string, above?: number): void {
  if (!Number.isFinite(value) || (above !== undefined && !(value > above))) {
    throw new RangeError(`${name} must be a number${above === undefined ? '' : ` above ${above}`}, got ${value}`)
  }
}

/**
 * Exponentially weighted moving average chart: zᵢ = λ xᵢ + (1 − λ) zᵢ₋₁ from z₀ = target; limits target ± width · sigma · √(λ / (2 − λ) · (1 − (1 − λ)^2i)).
 * width is 3 unless given. A signal is a z outside its limits. Errors: RangeError on bad input (0 < lambda ≤ 1). Source: Roberts 1959, Technometrics 1: 239–250;
 * NIST/SEMATECH e-Handbook 6.3.2.4 (which prints the limits for large i).
 * @example ewmaChart([52, 47], { target: 50, sigma: 2.0539, lambda: 0.3 })[0]?.ewma // 50.6
 */
export function ewmaChart(
  values: readonly number[],
  { target, sigma, lambda, width = 3 }: { target: number; sigma: number; lambda: number; width?: number },
): EwmaPoint[] {
  checkNumber(target, 'target')
  checkNumber(sigma, 'sigma', 0)
  checkNumber(width, 'width', 0)
  if (!(lambda > 0 && lambda <= 1)) throw new RangeError(`lambda must be above 0 and at most 1, got ${lambda}`)
  let ewma = target
  return values.map((value, index) => {
    checkNumber(value, `value ${index + 1}`)
    ewma = lambda * value + (1 - lambda) * ewma
    const reach = width * sigma * Math.sqrt((lambda / (2 - lambda)) * (1 - (1 - lambda) ** (2 * (index + 1))))
    return { value, ewma, lower: target - reach, upper: target + reach, signal: Math.abs(ewma - target) > reach }
  })
}

/**
 * Tabular CUSUM: high = max(0, previous high + x − target − k), low = max(0, previous low + target − k − x); a signal where one is above h.
 * k (allowance) and h (decision interval) in the unit of the values. Errors: RangeError on bad input. Source: Page 1954, Biometrika 41: 100–115;
 * NIST/SEMATECH e-Handbook 6.3.2.3.
 * @example cusumChart([325.35], { target: 325, k: 0.3175, h: 4.1959 })[0]?.high // 0.0325
 */
export function cusumChart(
  values: readonly number[],
  { target, k, h }: { target: number; k: number; h: number },
): CusumPoint[] {
  checkNumber(target, 'target')
  if (!(k >= 0 && k < Infinity)) throw new RangeError(`k must be a number of 0 or more, got ${k}`)
  checkNumber(h, 'h', 0)
  let high = 0
  let low = 0
  return values.map((value, index) => {
    checkNumber(value, `value ${index + 1}`)
    high = Math.max(0, high + value - target - k)
    low = Math.max(0, low + target - k - value)
    return { value, high, low, signalHigh: high > h, signalLow: low > h }
  })
}
