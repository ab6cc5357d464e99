/** The demo’s own chance: the same seed gives the same business on every machine. */
export class SeededRandom {
  private state: number
  constructor(seed: number) {
    this.state = (seed * 0x9e3779b1) >>> 0
    for (let i = 0; i < 8; i++) this.next()
  }
  /** Uniform in [0, 1). Weyl sequence with two rounds of multiply and shift (32 bits), enough for tests. */
  next(): number {
    this.state = (this.state + 0x6d2b79f5) >>> 0
    let z = this.state
    z = Math.imul(z ^ (z >>> 15), z | 1)
    z ^= z + Math.imul(z ^ (z >>> 7), z | 61)
    return ((z ^ (z >>> 14)) >>> 0) / 4_294_967_296
  }
  uniform(low: number, high: number): number {
    return low + (high - low) * this.next()
  }
  /** Whole number from low to high, both included. */
  integer(low: number, high: number): number {
    return low + Math.floor(this.next() * (high - low + 1))
  }
  /** Normal by Box and Muller. */
  normal(mean: number, sd: number): number {
    return mean + sd * Math.sqrt(-2 * Math.log(1 - this.next())) * Math.cos(2 * Math.PI * this.next())
  }
  weibull(scale: number, shape: number): number {
    return scale * (-Math.log(1 - this.next())) ** (1 / shape)
  }
  choice<Item>(items: readonly Item[]): Item {
    const item = items[Math.floor(this.next() * items.length)]
    if (item === undefined) throw new RangeError('nothing to choose from')
    return item
  }
  /** `count` different items, in random order. */
  sample<Item>(items: readonly Item[], count: number): Item[] {
    const rest = [...items]
    for (let i = rest.length - 1; i > 0; i--) {
      const j = this.integer(0, i)
      ;[rest[i], rest[j]] = [rest[j] as Item, rest[i] as Item] // both places exist: 0 <= j <= i < length
    }
    return rest.slice(0, count)
  }
}
