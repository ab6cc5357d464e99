import { logGamma, normalQuantile } from '@/lib/science/special-functions'
import { checkCount, checkLevel } from './poisson-rate'

/** Rows: with and without a factor. Columns: with and without the outcome. */
export type TwoByTwo = { withBoth: number; factorOnly: number; outcomeOnly: number; neither: number }

function checkTable(table: TwoByTwo): void {
  for (const [name, count] of Object.entries(table)) checkCount(count, name)
}

/**
 * Fisher's exact test, one-sided: the chance of so many with both factor and outcome, or more, were the two unrelated and all margins as they are
 * (hypergeometric upper tail). Domain: whole counts. Errors: RangeError otherwise. Source: Fisher 1935, The Design of Experiments, ch. 2.
 * @example fisherExactUpper({ withBoth: 3, factorOnly: 1, outcomeOnly: 1, neither: 3 }) // 0.2429
 */
export function fisherExactUpper(table: TwoByTwo): number {
  checkTable(table)
  const { withBoth, factorOnly, outcomeOnly, neither } = table
  const [row, column] = [withBoth + factorOnly, withBoth + outcomeOnly]
  const all = row + outcomeOnly + neither
  const whole = logChoose(all, column)
  let tail = 0
  for (let both = withBoth; both <= Math.min(row, column); both++)
    tail += Math.exp(logChoose(row, both) + logChoose(all - row, column - both) - whole)
  return Math.min(1, tail)
}

const logChoose = (n: number, k: number) =>
  k < 0 || k > n ? Number.NEGATIVE_INFINITY : logGamma(n + 1) - logGamma(k + 1) - logGamma(n - k + 1)

export type MantelHaenszel = {
  /** Common odds ratio; Infinity or 0 where one side of every table is empty. */
  oddsRatio: number
  lower: number
  upper: number
  /** Tables that say something: both rows and both columns filled. */
  strata: number
}

/**
 * The odds ratio common to several two-by-two tables (Mantel–Haenszel), with the interval of Robins, Breslow and Greenland. Tables with an empty
 * row or column say nothing and are left out. Null where none says anything. Where the ratio is 0 or infinite the interval is 0 to Infinity.
 * Domain: whole counts, 0 < level < 1. Errors: RangeError on bad input.
 * Source: Mantel & Haenszel 1959, J. Natl. Cancer Inst. 22: 719–748; Robins, Breslow & Greenland 1986, Biometrics 42: 311–323.
 * @example mantelHaenszel([{ withBoth: 10, factorOnly: 5, outcomeOnly: 4, neither: 12 }], 0.9)?.oddsRatio // 6
 */
export function mantelHaenszel(tables: readonly TwoByTwo[], level: number): MantelHaenszel | null {
  checkLevel(level)
  let [r, s, pr, psQr, qs, strata] = [0, 0, 0, 0, 0, 0]
  for (const table of tables) {
    checkTable(table)
    const { withBoth: a, factorOnly: b, outcomeOnly: c, neither: d } = table
    if (a + b === 0 || c + d === 0 || a + c === 0 || b + d === 0) continue
    const n = a + b + c + d
    const [own, other, agree, differ] = [(a * d) / n, (b * c) / n, (a + d) / n, (b + c) / n]
    r += own
    s += other
    pr += agree * own
    psQr += agree * other + differ * own
    qs += differ * other
    strata++
  }
  if (strata === 0) return null
  if (r === 0 || s === 0) return { oddsRatio: s === 0 ? Infinity : 0, lower: 0, upper: Infinity, strata }
  const variance = pr / (2 * r * r) + psQr / (2 * r * s) + qs / (2 * s * s)
  const reach = Math.exp(normalQuantile(1 - (1 - level) / 2) * Math.sqrt(variance))
  const oddsRatio = r / s
  return { oddsRatio, lower: oddsRatio / reach, upper: oddsRatio * reach, strata }
}
