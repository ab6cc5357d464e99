/** Distributions of a whole number of units: index = units, value = chance. */
export type Probabilities = readonly number[]

/** A need that comes with some chance, and the units it then takes. */
export type Need = { chance: number; quantity: number }

/** @throws RangeError unless these are chances that sum to 1. */
export function checkProbabilities(probabilities: Probabilities): void {
  let total = 0
  for (const chance of probabilities) {
    if (!(chance >= 0 && chance <= 1 + 1e-9)) throw new RangeError(`a probability lies from 0 to 1, got ${chance}`)
    total += chance
  }
  if (!(Math.abs(total - 1) < 1e-6)) throw new RangeError(`the probabilities must sum to 1, got ${total}`)
}

/** The distribution of the sum of two independent numbers: their convolution. */
export function addDemands(one: Probabilities, other: Probabilities): number[] {
  const sum = new Array<number>(one.length + other.length - 1).fill(0)
  for (const [n, chance] of one.entries())
    if (chance > 0) for (const [m, more] of other.entries()) sum[n + m] = (sum[n + m] ?? 0) + chance * more
  return sum
}

/**
 * How many units some independent needs take together, exactly (a Poisson binomial distribution where each takes one). A begun unit counts as whole.
 * Domain: chances from 0 to 1, quantities above 0. Errors: RangeError.
 * @example demandOfNeeds([{ chance: 0.5, quantity: 1 }, { chance: 0.5, quantity: 1 }]) // [0.25, 0.5, 0.25]
 */
export function demandOfNeeds(needs: readonly Need[]): number[] {
  let sum = [1]
  for (const { chance, quantity } of needs) {
    if (!(chance >= 0 && chance <= 1)) throw new RangeError(`a chance lies from 0 to 1, got ${chance}`)
    if (!(quantity > 0 && quantity < Infinity)) throw new RangeError(`a quantity must be above 0, got ${quantity}`)
    if (chance === 0) continue
    const units = Math.ceil(quantity - 1e-9)
    sum = addDemands(
      sum,
      Array.from({ length: units + 1 }, (_, n) => (n === 0 ? 1 - chance : n === units ? chance : 0)),
    )
  }
  return sum
}

/** Chance that a later need cannot be met in full from what the earlier ones leave over. */
export function chanceShort(before: Probabilities, need: Probabilities, available: number): number {
  let short = 0
  for (const [n, chance] of before.entries())
    for (const [m, more] of need.entries()) if (m > 0 && n + m > available) short += chance * more
  return Math.min(1, short)
}
