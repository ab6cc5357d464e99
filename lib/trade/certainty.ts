/** How sure we are, in words that a person would use. */

/** From here on "almost surely", and from here on "probably"; below nobody can tell. */
export const ALMOST_SURE = 0.975
export const PROBABLE = 0.8

export type Certainty = 'almost surely' | 'probably' | 'cannot tell'

/** A chance (0 to 1) that something holds → how to say it. */
export function certaintyOf(chance: number): Certainty {
  if (chance >= ALMOST_SURE) return 'almost surely'
  return chance >= PROBABLE ? 'probably' : 'cannot tell'
}

/** Shares that people say without thinking. */
const SHARES = [
  [1, 10],
  [1, 5],
  [1, 4],
  [1, 3],
  [1, 2],
  [2, 3],
  [3, 4],
  [4, 5],
  [9, 10],
] as const

/** 0.66 → "2 in 3"; near the ends "hardly ever" and "almost always" stand for less than 1 in 20 and more than 19 in 20. */
export function chanceInWords(chance: number): string {
  if (!(chance >= 0 && chance <= 1)) throw new RangeError(`a chance lies between 0 and 1, got ${chance}`)
  if (chance < 0.05) return 'less than 1 in 20'
  if (chance > 0.95) return 'more than 19 in 20'
  const distance = ([part, whole]: readonly [number, number]) => Math.abs(part / whole - chance)
  const [part, whole] = [...SHARES].sort((one, other) => distance(one) - distance(other))[0] ?? [1, 2]
  return `${part} in ${whole}`
}

/** 1.97 → "twice", 3.1 → "3 times", 0.48 → "half", 1.3 → "1.3 times"; for "… as often", "… as long". */
export function timesInWords(ratio: number): string {
  if (!(ratio > 0)) throw new RangeError(`a ratio must be above 0, got ${ratio}`)
  if (Math.abs(ratio - 2) < 0.08) return 'twice'
  if (Math.abs(ratio - 0.5) < 0.03) return 'half'
  if (ratio >= 2.75) return `${ratio < 10 ? String(Math.round(ratio * 2) / 2) : Math.round(ratio)} times`
  // Below a tenth one figure would round to nothing.
  return `${ratio < 0.095 ? Number(ratio.toPrecision(1)) : ratio.toFixed(1)} times`
}
