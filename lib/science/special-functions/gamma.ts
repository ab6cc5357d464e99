/** Coefficients B(2n) / (2n (2n − 1)) of Stirling's series. Source: DLMF 5.11.1, dlmf.nist.gov/5.11. */
const STIRLING = [1 / 12, -1 / 360, 1 / 1260, -1 / 1680, 1 / 1188, -691 / 360360, 1 / 156, -3617 / 122400] as const
const HALF_LOG_TWO_PI = 0.5 * Math.log(2 * Math.PI)
/** Below this argument the series is not accurate to the last digit; the recurrence lifts the argument above it. */
const STIRLING_FROM = 12
const MAX_TERMS = 200_000

/** Remainder of Stirling's formula: log Γ(x) − [(x − ½) log x − x + ½ log 2π], for x ≥ STIRLING_FROM. */
function stirlingRemainder(x: number): number {
  const inverseSquare = 1 / (x * x)
  let sum = 0
  for (let n = STIRLING.length - 1; n >= 0; n--) sum = sum * inverseSquare + (STIRLING[n] ?? 0)
  return sum / x
}

/**
 * Natural logarithm of the gamma function, log Γ(x).
 * Domain: x > 0. Errors: RangeError otherwise. Source: DLMF 5.5.1 (recurrence) and 5.11.1 (Stirling).
 * @example logGamma(5) // log 24 = 3.1780538
 */
export function logGamma(x: number): number {
  if (!(x > 0)) throw new RangeError(`the gamma function needs a number above 0, got ${x}`)
  if (x === Infinity) return Infinity
  if (x === 1 || x === 2) return 0
  let shifted = x
  let product = 1
  while (shifted < STIRLING_FROM) {
    product *= shifted
    shifted += 1
  }
  return (
    (shifted - 0.5) * Math.log(shifted) - shifted + HALF_LOG_TWO_PI + stirlingRemainder(shifted) - Math.log(product)
  )
}

/** log(1 + x) − x without cancellation near 0: with v = x / (2 + x) it is −x v + 2 (v³/3 + v⁵/5 + …). */
function log1pMinus(x: number): number {
  if (Math.abs(x) > 0.4) return Math.log1p(x) - x
  const v = x / (2 + x)
  const square = v * v
  let power = 2 * v * square
  let sum = -x * v
  for (let n = 3; n < 100; n += 2) {
    const term = power / n
    sum += term
    if (Math.abs(term) <= 1e-17 * Math.abs(sum)) break
    power *= square
  }
  return sum
}

/** x^a e^−x / Γ(a + 1), written so that large a and x do not cancel. */
function gammaPrefactor(a: number, x: number, logGammaOfNext?: number): number {
  if (a < STIRLING_FROM) return Math.exp(a * Math.log(x) - x - (logGammaOfNext ?? logGamma(a + 1)))
  const exponent = a * log1pMinus((x - a) / a) - stirlingRemainder(a) - HALF_LOG_TWO_PI
  return Math.exp(exponent) / Math.sqrt(a)
}

function lowerSeries(a: number, x: number, logGammaOfNext?: number): number {
  let term = 1
  let sum = 1
  for (let n = 1; n < MAX_TERMS; n++) {
    term *= x / (a + n)
    sum += term
    if (term <= 1e-17 * sum) break
  }
  return gammaPrefactor(a, x, logGammaOfNext) * sum
}

/** Legendre's continued fraction for Γ(a, x), by the modified Lentz method (DLMF 8.9.2 and 3.10). */
function upperFraction(a: number, x: number, logGammaOfNext?: number): number {
  const tiny = 1e-300
  let b = x + 1 - a
  let c = 1 / tiny
  let d = 1 / (Math.abs(b) < tiny ? tiny : b)
  let fraction = d
  for (let n = 1; n < MAX_TERMS; n++) {
    const numerator = -n * (n - a)
    b += 2
    d = numerator * d + b
    if (Math.abs(d) < tiny) d = tiny
    c = b + numerator / c
    if (Math.abs(c) < tiny) c = tiny
    d = 1 / d
    const factor = d * c
    fraction *= factor
    if (Math.abs(factor - 1) < 1e-16) break
  }
  return gammaPrefactor(a, x, logGammaOfNext) * a * fraction
}

/**
 * Both regularised incomplete gamma functions: lower P(a, x) = γ(a, x) / Γ(a) and upper Q = 1 − P, each accurate in its own small tail.
 * Domain: a > 0, x ≥ 0. `logGammaOfNext`: log Γ(a + 1), for who asks many times with the same a. Errors: RangeError otherwise.
 * Source: DLMF 8.2.4, 8.7.1, 8.9.2.
 * @example incompleteGamma(1, 1).lower // 1 − 1/e
 */
export function incompleteGamma(a: number, x: number, logGammaOfNext?: number): { lower: number; upper: number } {
  if (!(a > 0 && a < Infinity)) throw new RangeError(`the incomplete gamma function needs a shape above 0, got ${a}`)
  if (!(x >= 0)) throw new RangeError(`the incomplete gamma function needs an argument of 0 or more, got ${x}`)
  if (x === 0) return { lower: 0, upper: 1 }
  if (x === Infinity) return { lower: 1, upper: 0 }
  if (x < a + 1) {
    const lower = Math.min(1, lowerSeries(a, x, logGammaOfNext))
    return { lower, upper: 1 - lower }
  }
  const upper = Math.min(1, upperFraction(a, x, logGammaOfNext))
  return { lower: 1 - upper, upper }
}

/** Density of the standard Gamma(a) distribution at x. */
function gammaDensity(a: number, x: number): number {
  return (gammaPrefactor(a, x) * a) / x
}

function startingPoint(a: number, lower: number, upper: number): number {
  if (a < 0.5 || lower < 0.01) {
    const small = Math.exp((Math.log(lower) + logGamma(a + 1)) / a)
    if (small < 0.3 * (a + 1)) return small
  }
  // Wilson & Hilferty: the cube root of a gamma variate is nearly normal. Hastings' approximation serves for the normal quantile.
  const tail = Math.min(lower, upper)
  const root = Math.sqrt(-2 * Math.log(tail))
  const normal = root - (2.30753 + 0.27061 * root) / (1 + 0.99229 * root + 0.04481 * root * root)
  const cube = 1 - 1 / (9 * a) + ((lower < upper ? -normal : normal) * 1) / (3 * Math.sqrt(a))
  return Math.max(a * cube ** 3, 1e-3 * a)
}

/**
 * The x with P(a, x) = probability (tail 'lower') or Q(a, x) = probability (tail 'upper').
 * Domain: a > 0, 0 ≤ probability ≤ 1; 1 in the lower tail is Infinity. Errors: RangeError otherwise.
 * Method: safeguarded Newton on the smaller tail. Source: definition, DLMF 8.12.
 * @example inverseIncompleteGamma(1, 0.05, 'upper') // 2.9957323
 */
export function inverseIncompleteGamma(a: number, probability: number, tail: 'lower' | 'upper'): number {
  if (!(a > 0 && a < Infinity)) throw new RangeError(`the gamma quantile needs a shape above 0, got ${a}`)
  if (!(probability >= 0 && probability <= 1))
    throw new RangeError(`a probability lies from 0 to 1, got ${probability}`)
  const lower = tail === 'lower' ? probability : 1 - probability
  const upper = tail === 'upper' ? probability : 1 - probability
  if (lower === 0) return 0
  if (upper === 0) return Infinity
  const byLower = lower <= upper
  let low = 0
  let high = Infinity
  let x = startingPoint(a, lower, upper)
  for (let iteration = 0; iteration < 200; iteration++) {
    if (!(x > 0)) return 0 // below the smallest positive number
    const value = incompleteGamma(a, x)
    // The logarithm of the small tail is close to linear far out, where the tail itself is not.
    const target = byLower ? lower : upper
    const current = byLower ? value.lower : value.upper
    const gap = byLower ? current - target : target - current
    if (gap > 0) high = x
    else low = x
    const density = gammaDensity(a, x)
    const step = current > 0 && density > 0 ? (Math.log(current / target) * current * (byLower ? 1 : -1)) / density : 0
    let next = x - step
    if (step === 0 && gap === 0) return x
    if (!(next > low && next < high) || step === 0) {
      next = high === Infinity ? 2 * x : low === 0 ? x / 4 : (low + high) / 2
    }
    if (Math.abs(next - x) <= 1e-15 * x) return next
    x = next
  }
  return x
}
