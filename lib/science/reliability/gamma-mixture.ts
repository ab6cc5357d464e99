export type GammaPart = { shape: number; rate: number; weight: number }

const POINTS = 320
const REACH = 7

/**
 * Quantiles of a mixture of Gamma distributions, from its density on a grid of the logarithm that is fine where the narrowest part lies and coarse in the
 * far tail of the widest; good to about a thousandth of the spread.
 * Domain: shapes, rates and weights above 0; shares between 0 and 1. Errors: RangeError.
 * @example gammaMixtureQuantiles([{ shape: 1, rate: 1, weight: 1 }], [0.5])[0] // 0.693
 */
export function gammaMixtureQuantiles(parts: readonly GammaPart[], shares: readonly number[]): number[] {
  if (parts.length === 0) throw new RangeError('a mixture needs at least one part')
  for (const { shape, rate, weight } of parts)
    if (!(shape > 0 && rate > 0 && weight > 0)) throw new RangeError('shape, rate and weight must be above 0')
  // log Gamma is left-skewed: below its mode it falls like e^(shape·x), above it like e^(−e^x).
  const low = Math.min(
    ...parts.map(({ shape, rate }) => Math.log(shape / rate) - REACH * (1 / Math.sqrt(shape) + 1 / shape)),
  )
  const high = Math.max(...parts.map(({ shape, rate }) => Math.log(shape / rate) + REACH / Math.sqrt(shape)))
  const scaled = parts.map(({ shape, rate, weight }) => ({
    shape,
    mode: Math.log(shape / rate),
    weight: weight * Math.sqrt(shape) * stirling(shape),
  }))
  // x = centre + narrowest · sinh(u) with even steps of u: a part of shape 0.1 reaches 70 units of log down, one of shape 100 is a tenth wide.
  const weightOfAll = parts.reduce((sum, { weight }) => sum + weight, 0)
  const centre = scaled.reduce((sum, { mode }, i) => sum + (mode * (parts[i]?.weight ?? 0)) / weightOfAll, 0)
  const narrowest = Math.min(...parts.map(({ shape }) => 1 / Math.sqrt(shape)))
  const first = Math.asinh((low - centre) / narrowest)
  const step = (Math.asinh((high - centre) / narrowest) - first) / POINTS
  const reached: number[] = [0]
  for (let i = 0; i < POINTS; i++) {
    const u = first + (i + 0.5) * step
    const x = centre + narrowest * Math.sinh(u)
    let density = 0
    for (const { shape, mode, weight } of scaled) {
      const d = x - mode
      density += weight * Math.exp(-shape * (Math.exp(d) - 1 - d))
    }
    reached.push((reached[i] ?? 0) + density * Math.cosh(u))
  }
  const total = reached[POINTS] ?? 1
  return shares.map((share) => {
    if (!(share >= 0 && share <= 1)) throw new RangeError(`a share must lie between 0 and 1, got ${share}`)
    const after = Math.max(
      1,
      reached.findIndex((sum) => sum >= share * total),
    )
    const before = reached[after - 1] ?? 0
    const part = (share * total - before) / ((reached[after] ?? total) - before || 1)
    return Math.exp(centre + narrowest * Math.sinh(first + (after - 1 + part) * step))
  })
}

/** √(2π) s^(s − ½) e^(−s) / Γ(s): how the peak of a log-Gamma density differs from the normal one. Series for large s, shifted up for small. */
function stirling(shape: number): number {
  let correction = 1
  let s = shape
  // Γ(s + 1) = s Γ(s): with f(s) = √(2π) s^(s − ½) e^(−s) / Γ(s), f(s) = f(s + 1) · e · (s / (s + 1))^(s + ½).
  while (s < 8) {
    correction *= Math.E * (s / (s + 1)) ** (s + 0.5)
    s += 1
  }
  const series = 1 / (12 * s) - 1 / (360 * s ** 3) + 1 / (1260 * s ** 5)
  return correction * Math.exp(-series)
}
