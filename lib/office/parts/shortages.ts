/** Which booked visits will lack a part. Pure. */
import { addDemands, chanceShort, demandOfNeeds } from '@/lib/science'
import { groupBy } from '../group-by'
import type { PartNeed, VisitWithNeeds } from './needs'

/** Warned of what is more likely than not. */
const WARN_FROM = 0.5

export type Supply = {
  /** In all places together, what is below zero on paper taken as none. */
  onHand: number
  /** What is on its way, by the day on which it is expected. */
  coming: readonly { on: string | null; quantity: number }[]
}
export type Shortage = {
  partId: string
  visit: Omit<VisitWithNeeds, 'needs'>
  needs: PartNeed[]
  chance: number
  /** On hand when the visit comes, and what earlier visits are expected to take of it. */
  available: number
  expectedBefore: number
}

/**
 * Visits in order of time, each part's stock used up along the way: the visits at which what is left will more likely than not be too little. What is expected on the day
 * of a visit or later does not help it.
 */
export function findShortages(visits: readonly VisitWithNeeds[], supplyOf: (partId: string) => Supply): Shortage[] {
  const before = new Map<string, number[]>()
  return visits.flatMap(({ needs, ...visit }) =>
    [...groupBy(needs, ({ partId }) => partId)].flatMap(([partId, ofPart]): Shortage[] => {
      const supply = supplyOf(partId)
      const arrived = supply.coming.filter(({ on }) => on !== null && on < visit.on)
      const available = Math.max(0, supply.onHand) + arrived.reduce((sum, { quantity }) => sum + quantity, 0)
      const earlier = before.get(partId) ?? [1]
      const here = demandOfNeeds(ofPart)
      before.set(partId, addDemands(earlier, here))
      const chance = chanceShort(earlier, here, available)
      if (chance < WARN_FROM) return []
      const expectedBefore = earlier.reduce((sum, share, n) => sum + n * share, 0)
      return [{ partId, visit, needs: ofPart, chance, available, expectedBefore }]
    }),
  )
}
