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

/**
 * The distribution of what was taken before and what some more independent needs take, exactly (a Poisson binomial distribution where each takes one). A begun unit
 * counts as whole. Above `most` units it is left off, and then sums to less than 1: the chances up to there stay exact, and each need costs so many steps, not as many
 * as there were needs before it.
 * Domain: chances from 0 to 1 but for rounding (1e-9), quantities above 0. Errors: RangeError.
 * @example addNeeds([0.5, 0.5], [{ chance: 0.5, quantity: 1 }]) // [0.25, 0.5, 0.25]
 */
export function addNeeds(before: Probabilities, needs: readonly Need[], most = Infinity): number[] {
  const sum = [...before]
  for (const { chance: given, quantity } of needs) {
    if (!(given >= -1e-9 && given <= 1 + 1e-9)) throw new RangeError(`a chance lies from 0 to 1, got ${given}`)
    if (!(quantity > 0 && quantity < Infinity)) throw new RangeError(`a quantity must be above 0, got ${quantity}`)
    const chance = Math.min(1, Math.max(0, given))
    if (chance === 0) continue
    const units = Math.ceil(quantity - 1e-9)
    for (let wanted = Math.min(sum.length - 1 + units, most); sum.length <= wanted; ) sum.push(0)
    for (let n = sum.length - 1; n >= 0; n--)
      sum[n] = (sum[n] ?? 0) * (1 - chance) + (n >= units ? (sum[n - units] ?? 0) * chance : 0)
  }
  return sum
}

/**
 * How many units some independent needs take together. Domain and errors: `addNeeds`.
 * @example demandOfNeeds([{ chance: 0.5, quantity: 1 }, { chance: 0.5, quantity: 1 }]) // [0.25, 0.5, 0.25]
 */
export function demandOfNeeds(needs: readonly Need[]): number[] {
  return addNeeds([1], needs)
}

/** Chance that a later need cannot be met in full from what the earlier ones leave over. `before` may end at `available` (`addNeeds`). */
export function chanceShort(before: Probabilities, need: Probabilities, available: number): number {
  const upTo: number[] = []
  for (const chance of before) upTo.push((upTo.at(-1) ?? 0) + chance)
  const atMost = (units: number) => (units < 0 ? 0 : (upTo[Math.min(Math.floor(units), upTo.length - 1)] ?? 0))
  // In full: the earlier ones took no more than what this one leaves.
  const met = need.reduce((sum, chance, units) => (units === 0 ? sum : sum + chance * atMost(available - units)), 0)
  return Math.min(1, Math.max(0, 1 - (need[0] ?? 0) - met))
}
