/**
 * Uniform random numbers in [0, 1) from a seed: a Weyl sequence through the 32-bit finaliser of MurmurHash3, two words a number. The same seed gives the same numbers
 * on every machine. For simulation, not for secrets. Domain: any whole seed (taken modulo 2³²). Errors: RangeError otherwise.
 * @example seededRandom(1)() // the same number every time
 */
export function seededRandom(seed: number): () => number {
  if (!Number.isInteger(seed)) throw new RangeError(`the seed must be a whole number, got ${seed}`)
  let state = Math.imul(seed >>> 0, 0x2545f491) >>> 0
  const word = () => {
    state = (state + 0x9e3779b9) >>> 0
    let mixed = state
    mixed = Math.imul(mixed ^ (mixed >>> 16), 0x85ebca6b)
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35)
    return (mixed ^ (mixed >>> 16)) >>> 0
  }
  return () => (word() * 2 ** 21 + (word() >>> 11)) / 2 ** 53
}
