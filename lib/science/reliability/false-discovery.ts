/**
 * Benjamini–Hochberg: which of several p-values stand out when at most the share q of the ones named may be false alarms.
 * adjusted = running minimum, from the largest p down, of p · m / rank, cut at 1; rejected = adjusted ≤ q. Order of the input is kept.
 * Domain: p-values from 0 to 1, q between 0 and 1. Errors: RangeError. Source: Benjamini & Hochberg 1995, J. R. Stat. Soc. B 57: 289–300.
 * @example benjaminiHochberg([0.01, 0.04, 0.5], 0.05).rejected // [true, false, false]
 */
export function benjaminiHochberg(pValues: readonly number[], q: number): { rejected: boolean[]; adjusted: number[] } {
  if (!(q > 0 && q < 1)) throw new RangeError(`q must lie between 0 and 1, got ${q}`)
  pValues.forEach((p, index) => {
    if (!(p >= 0 && p <= 1)) throw new RangeError(`p-value ${index + 1} must lie from 0 to 1, got ${p}`)
  })
  const descending = pValues.map((p, index) => ({ p, index })).sort((one, other) => other.p - one.p)
  const adjusted = new Array<number>(pValues.length).fill(1)
  const rejected = new Array<boolean>(pValues.length).fill(false)
  let least = 1
  let stepUp = false
  descending.forEach(({ p, index }, position) => {
    const rank = pValues.length - position
    least = Math.min(least, (p * pValues.length) / rank)
    // p · m ≤ rank · q rather than adjusted ≤ q: a p exactly on its line is rejected whatever the division rounds to.
    stepUp ||= p * pValues.length <= rank * q
    adjusted[index] = least
    rejected[index] = stepUp
  })
  return { rejected, adjusted }
}
