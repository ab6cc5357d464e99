import { checkMean, poissonQuantile } from './poisson-demand'

export type DemandTable = readonly { demand: number; probability: number }[]

export type NewsvendorInput = {
  /** Cost of each one missing. */
  shortage: number
  /** Cost of each one left over. */
  excess: number
} & ({ meanDemand: number; table?: undefined } | { table: DemandTable; meanDemand?: undefined })

/**
 * What to take along once: the least stock s with P(D ≤ s) ≥ shortage / (shortage + excess). Demand is Poisson with a mean, or a table of whole demands with
 * their probabilities (which must sum to 1).
 * Errors: RangeError on bad input. Source: Arrow, Harris & Marschak 1951, Econometrica 19: 250–272 (critical ratio).
 * @example newsvendor({ meanDemand: 4, shortage: 3, excess: 2 }) // { stock: 4, criticalRatio: 0.6 }
 */
export function newsvendor(input: NewsvendorInput): { stock: number; criticalRatio: number } {
  const { shortage, excess } = input
  if (!(shortage >= 0 && shortage < Infinity))
    throw new RangeError(`shortage must be a number of 0 or more, got ${shortage}`)
  if (!(excess >= 0 && excess < Infinity)) throw new RangeError(`excess must be a number of 0 or more, got ${excess}`)
  if (shortage + excess === 0) throw new RangeError('shortage and excess cannot both cost nothing')
  const criticalRatio = shortage / (shortage + excess)
  if (input.table) return { stock: tableQuantile(checkTable(input.table), criticalRatio), criticalRatio }
  checkMean(input.meanDemand, 'meanDemand')
  if (criticalRatio === 1 && input.meanDemand > 0)
    throw new RangeError('with no cost of excess any stock could be larger; give excess a cost')
  return { stock: poissonQuantile(criticalRatio, input.meanDemand), criticalRatio }
}

function checkTable(table: DemandTable): DemandTable {
  let total = 0
  const seen = new Set<number>()
  for (const { demand, probability } of table) {
    if (!(Number.isInteger(demand) && demand >= 0))
      throw new RangeError(`demand must be a whole number of 0 or more, got ${demand}`)
    if (seen.has(demand)) throw new RangeError(`demand ${demand} stands in the table twice`)
    if (!(probability >= 0 && probability <= 1))
      throw new RangeError(`a probability lies from 0 to 1, got ${probability}`)
    seen.add(demand)
    total += probability
  }
  if (!(Math.abs(total - 1) < 1e-6)) throw new RangeError(`the probabilities must sum to 1, got ${total}`)
  return [...table].sort((one, other) => one.demand - other.demand)
}

function tableQuantile(sorted: DemandTable, level: number): number {
  let sum = 0
  for (const { demand, probability } of sorted) {
    sum += probability
    // A ratio that the table meets but for rounding counts as met.
    if (probability > 0 && sum >= level - 1e-9) return demand
  }
  return sorted.findLast(({ probability }) => probability > 0)?.demand ?? 0
}
