import { checkMean, poissonCdf, poissonQuantile } from './poisson-demand'

export type ReorderPoint = {
  /** Order when stock on hand and on order falls to this. */
  reorderPoint: number
  /** Chance that this lasts through the lead time. */
  achieved: number
}

/**
 * Least stock that lasts through the lead time with the wanted chance, when demand comes singly and at random (Poisson): the least s with P(D ≤ s) ≥ serviceLevel,
 * D ~ Poisson(meanDemand · leadTime). No demand: 0.
 * Units: meanDemand per period, leadTime in periods. Domain: serviceLevel from 0 up to, but not including, 1. Errors: RangeError on bad input.
 * Source: Silver, Pyke & Peterson 1998, Inventory Management and Production Planning and Scheduling, ch. 7.
 * @example reorderPoint({ meanDemand: 4, leadTime: 1, serviceLevel: 0.95 }) // { reorderPoint: 8, achieved: 0.9786 }
 */
export function reorderPoint({
  meanDemand,
  leadTime,
  serviceLevel,
}: {
  meanDemand: number
  leadTime: number
  serviceLevel: number
}): ReorderPoint {
  checkMean(meanDemand, 'meanDemand')
  checkMean(leadTime, 'leadTime')
  if (!(serviceLevel >= 0 && serviceLevel < 1))
    throw new RangeError(`serviceLevel must be 0 or more and below 1, got ${serviceLevel}`)
  const mean = meanDemand * leadTime
  checkMean(mean, 'meanDemand times leadTime')
  const point = poissonQuantile(serviceLevel, mean)
  return { reorderPoint: point, achieved: poissonCdf(point, mean) }
}
