import { normalCdf } from '@/lib/science/special-functions'

export type RankSumTest = {
  /** Mann–Whitney: pairs in which the first is larger; a tie counts a half. */
  statistic: number
  /** Two-sided. */
  pValue: number
  /** One-sided, small where the first values are lower. */
  pLower: number
  /** One-sided, small where the first values are higher. */
  pHigher: number
  exact: boolean
}

/** Up to this many values in all the distribution is counted out, ties included. */
const EXACT_UP_TO = 50

/**
 * Wilcoxon's rank-sum test (Mann–Whitney): whether the first values tend to lie lower or higher than the second. Up to 50 values in all
 * the permutation distribution of the mid-ranks is counted out exactly, ties and all; beyond, normal with ties and continuity corrected.
 * Domain: finite numbers, at least one on each side. Errors: RangeError otherwise.
 * Source: Mann & Whitney 1947, Ann. Math. Stat. 18: 50–60; mid-ranks: Lehmann 1975, Nonparametrics, section 1.4.
 * @example rankSumTest([1.83, 0.5], [0.2, 0.4, 0.1]).pHigher // 0.1
 */
export function rankSumTest(first: readonly number[], second: readonly number[]): RankSumTest {
  if (first.length === 0 || second.length === 0) throw new RangeError('both groups need at least one value')
  for (const value of [...first, ...second])
    if (!Number.isFinite(value)) throw new RangeError(`values must be numbers, got ${value}`)
  const ranks = doubledRanks([...first, ...second])
  const own = ranks.slice(0, first.length).reduce((sum, rank) => sum + rank, 0)
  const statistic = own / 2 - (first.length * (first.length + 1)) / 2
  const exact = ranks.length <= EXACT_UP_TO
  const { pLower, pHigher } = exact
    ? countedTails(ranks, first.length, own)
    : normalTails(ranks, first.length, second.length, statistic)
  return { statistic, pLower, pHigher, pValue: Math.min(1, 2 * Math.min(pLower, pHigher)), exact }
}

/** Twice the mid-rank of each value: whole numbers also where values tie. */
function doubledRanks(values: readonly number[]): number[] {
  const sorted = values.map((value, index) => ({ value, index })).sort((one, other) => one.value - other.value)
  const ranks = new Array<number>(values.length).fill(0)
  for (let from = 0; from < sorted.length; ) {
    let to = from
    while (to + 1 < sorted.length && sorted[to + 1]?.value === sorted[from]?.value) to++
    for (let place = from; place <= to; place++) ranks[sorted[place]?.index ?? 0] = from + to + 2
    from = to + 1
  }
  return ranks
}

/** Counts, over all ways to choose the first group, how many give a rank sum as low or as high. */
function countedTails(ranks: readonly number[], chosen: number, own: number) {
  const most = ranks.reduce((sum, rank) => sum + rank, 0)
  const ways = Array.from({ length: chosen + 1 }, () => new Float64Array(most + 1))
  const start = ways[0]
  if (start) start[0] = 1
  for (const rank of ranks)
    for (let size = chosen; size >= 1; size--) {
      const into = ways[size]
      const from = ways[size - 1]
      if (!into || !from) continue
      for (let sum = most; sum >= rank; sum--) into[sum] = (into[sum] ?? 0) + (from[sum - rank] ?? 0)
    }
  let low = 0
  let high = 0
  let all = 0
  ways[chosen]?.forEach((count, sum) => {
    all += count
    if (sum <= own) low += count
    if (sum >= own) high += count
  })
  return { pLower: low / all, pHigher: high / all }
}

function normalTails(ranks: readonly number[], n: number, m: number, statistic: number) {
  const all = n + m
  const sizes = new Map<number, number>()
  for (const rank of ranks) sizes.set(rank, (sizes.get(rank) ?? 0) + 1)
  let ties = 0
  for (const size of sizes.values()) ties += size ** 3 - size
  const deviation = Math.sqrt(((n * m) / 12) * (all + 1 - ties / (all * (all - 1))))
  if (deviation === 0) return { pLower: 1, pHigher: 1 }
  const off = statistic - (n * m) / 2
  return { pLower: normalCdf((off + 0.5) / deviation), pHigher: normalCdf(-(off - 0.5) / deviation) }
}
