export type EwmaPoint = { value: number; ewma: number; lower: number; upper: number; signal: boolean }

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
