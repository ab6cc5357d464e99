import { checkProbabilities, type Probabilities } from './demand-table'
import { checkMean, poissonCdf, poissonQuantile } from './poisson-demand'

export type ReorderPoint = {
  /** Order when stock on hand and on order falls to this. */
  reorderPoint: number
  /** Chance that this lasts through the lead time. */
  achieved: number
}

export type ReorderInput = { serviceLevel: number } & (
  | { meanDemand: number; leadTime: number; probabilities?: undefined }
  | { probabilities: Probabilities; meanDemand?: undefined; leadTime?: undefined }
)

/**
 * Least stock that lasts through the lead time with the wanted chance: the least s with P(D ≤ s) ≥ serviceLevel. D is what is needed within the lead time: Poisson with
 * mean meanDemand · leadTime, when demand comes singly and at random, or any distribution (`probabilities[n]`, as `demandForecast` gives it). No demand: 0.
 * Units: meanDemand per period, leadTime in periods. Domain: serviceLevel from 0 up to, but not including, 1. Errors: RangeError on bad input.
 * Source: Silver, Pyke & Peterson 1998, Inventory Management and Production Planning and Scheduling, ch. 7.
 * @example reorderPoint({ meanDemand: 4, leadTime: 1, serviceLevel: 0.95 }) // { reorderPoint: 8, achieved: 0.9786 }
 */
export function reorderPoint(input: ReorderInput): ReorderPoint {
  const { serviceLevel } = input
  if (!(serviceLevel >= 0 && serviceLevel < 1))
    throw new RangeError(`serviceLevel must be 0 or more and below 1, got ${serviceLevel}`)
  if (input.probabilities) return fromTable(input.probabilities, serviceLevel)
  const { meanDemand, leadTime } = input
  checkMean(meanDemand, 'meanDemand')
  checkMean(leadTime, 'leadTime')
  const mean = meanDemand * leadTime
  checkMean(mean, 'meanDemand times leadTime')
  const point = poissonQuantile(serviceLevel, mean)
  return { reorderPoint: point, achieved: poissonCdf(point, mean) }
}

function fromTable(probabilities: Probabilities, serviceLevel: number): ReorderPoint {
  checkProbabilities(probabilities)
  let achieved = 0
  for (const [point, chance] of probabilities.entries()) {
    achieved += chance
    // A level that is met but for rounding counts as met.
    if (achieved >= serviceLevel - 1e-9) return { reorderPoint: point, achieved: Math.min(1, achieved) }
  }
  return { reorderPoint: probabilities.length - 1, achieved: 1 }
}
