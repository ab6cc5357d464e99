import { chiSquareTails, logGamma, normalQuantile } from '@/lib/science/special-functions'
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
  /** Two-sided: the chance of counts so far from even, were the odds the same in every table (χ² with one degree of freedom, continuity corrected). */
  pValue: number
  /** Tables that say something: both rows and both columns filled. */
  strata: number
}

/**
 * The odds ratio common to several two-by-two tables (Mantel–Haenszel), with the interval of Robins, Breslow and Greenland. Tables with an empty
 * row or column say nothing and are left out. Null where none says anything. Where the ratio is 0 or infinite the one limit there is comes from the exact conditional
 * distribution: every table then lies at its end, and the chance of that is a product over the tables.
 * Domain: whole counts, 0 < level < 1. Errors: RangeError on bad input.
 * Source: Mantel & Haenszel 1959, J. Natl. Cancer Inst. 22: 719–748; Robins, Breslow & Greenland 1986, Biometrics 42: 311–323.
 * @example mantelHaenszel([{ withBoth: 10, factorOnly: 5, outcomeOnly: 4, neither: 12 }], 0.9)?.oddsRatio // 6
 */
export function mantelHaenszel(tables: readonly TwoByTwo[], level: number): MantelHaenszel | null {
  checkLevel(level)
  let [r, s, pr, psQr, qs] = [0, 0, 0, 0, 0]
  let [off, spread] = [0, 0]
  const telling: TwoByTwo[] = []
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
    off += a - ((a + b) * (a + c)) / n
    spread += ((a + b) * (c + d) * (a + c) * (b + d)) / (n * n * (n - 1))
    telling.push(table)
  }
  const strata = telling.length
  if (strata === 0) return null
  // Corrected for continuity where there is half a count to correct by, as R's mantelhaen.test does.
  const apart = Math.abs(off) >= 0.5 ? Math.abs(off) - 0.5 : Math.abs(off)
  const pValue = chiSquareTails((apart * apart) / spread, 1).upper
  const tail = (1 - level) / 2
  if (s === 0)
    return { oddsRatio: Infinity, lower: oddsWhereAllAreExtreme(telling, tail), upper: Infinity, pValue, strata }
  if (r === 0)
    return { oddsRatio: 0, lower: 0, upper: 1 / oddsWhereAllAreExtreme(telling.map(turned), tail), pValue, strata }
  const variance = pr / (2 * r * r) + psQr / (2 * r * s) + qs / (2 * s * s)
  const reach = Math.exp(normalQuantile(1 - (1 - level) / 2) * Math.sqrt(variance))
  const oddsRatio = r / s
  return { oddsRatio, lower: oddsRatio / reach, upper: oddsRatio * reach, pValue, strata }
}

/** The same table with its columns exchanged: the odds are turned over. */
const turned = ({ withBoth, factorOnly, outcomeOnly, neither }: TwoByTwo): TwoByTwo => ({
  withBoth: factorOnly,
  factorOnly: withBoth,
  outcomeOnly: neither,
  neither: outcomeOnly,
})

/** The odds ratio at which it has this chance that every table holds the most in its first cell that its margins allow (noncentral hypergeometric). */
function oddsWhereAllAreExtreme(tables: readonly TwoByTwo[], chance: number): number {
  const logs = tables.map(({ withBoth, factorOnly, outcomeOnly, neither }) => {
    const [row, column] = [withBoth + factorOnly, withBoth + outcomeOnly]
    const most = Math.min(row, column)
    const least = Math.max(0, column - (outcomeOnly + neither))
    return Array.from({ length: most - least + 1 }, (_, i) => ({
      below: i,
      log: logChoose(row, most - i) + logChoose(outcomeOnly + neither, column - most + i),
    }))
  })
  const logChance = (logOdds: number) =>
    logs.reduce((total, terms) => {
      const first = terms[0]?.log ?? 0
      return total - Math.log(terms.reduce((sum, { below, log }) => sum + Math.exp(log - first - below * logOdds), 0))
    }, 0)
  let [low, high] = [-50, 50]
  for (let i = 0; i < 100; i++) {
    const middle = (low + high) / 2
    if (logChance(middle) < Math.log(chance)) low = middle
    else high = middle
  }
  return Math.exp((low + high) / 2)
}
