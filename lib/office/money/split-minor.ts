/**
 * An amount shared out so that the shares add up to it to the last penny: each gets its whole minor units, and those left over go one
 * each to the largest remainders (Hare quota), the first of equals before the later. Exact; integers in and out.
 *
 * Errors: RangeError when a weight is below 0 or all of them are 0 while there is something to share.
 * @example splitMinor(100, [1, 1, 1]) // [34, 33, 33]
 */
export function splitMinor(totalMinor: number, weights: readonly number[]): number[] {
  if (weights.some((weight) => !Number.isSafeInteger(weight) || weight < 0))
    throw new RangeError('a weight is a whole number from 0')
  const all = weights.reduce((sum, weight) => sum + BigInt(weight), 0n)
  if (all === 0n) {
    if (totalMinor !== 0) throw new RangeError('an amount cannot be shared among nobody')
    return weights.map(() => 0)
  }
  const amount = BigInt(Math.abs(totalMinor))
  const parts = weights.map((weight, place) => {
    const exact = amount * BigInt(weight)
    return { place, whole: exact / all, rest: exact % all }
  })
  let left = Number(amount - parts.reduce((sum, { whole }) => sum + whole, 0n))
  const byRest = [...parts].sort((a, b) => (a.rest === b.rest ? a.place - b.place : a.rest > b.rest ? -1 : 1))
  const shares = parts.map(({ whole }) => Number(whole))
  for (const { place } of byRest) {
    if (left === 0) break
    shares[place] = (shares[place] ?? 0) + 1
    left -= 1
  }
  return totalMinor < 0 ? shares.map((share) => (share === 0 ? 0 : -share)) : shares
}

/** The net of a line shared among the charges it bills, by what it settles of each; evenly where it settles nothing. */
export function shareNet<Part extends { settlesMinor: number }>(lineNetMinor: number, parts: readonly Part[]) {
  const settles = parts.map(({ settlesMinor }) => settlesMinor)
  const weights = settles.some((minor) => minor > 0) ? settles : settles.map(() => 1)
  const nets = splitMinor(lineNetMinor, weights)
  return parts.map((part, place) => ({ ...part, netMinor: nets[place] ?? 0 }))
}
