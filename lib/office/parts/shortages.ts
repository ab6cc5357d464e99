/** Which booked visits will lack a part. Pure. */
import { addNeeds, chanceShort, demandOfNeeds } from '@/lib/science'
import { groupBy } from '../frame/group-by'
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

/** What visits so far are expected to take of a part, and with what chance they take each number that there may be. */
type Taken = { supply: Supply; most: number; units: number[]; expected: number }

/**
 * Visits in order of time, each part's stock used up along the way: the visits at which what is left will more likely than not be too little. What is expected on the day
 * of a visit or later does not help it.
 */
export function findShortages(visits: readonly VisitWithNeeds[], supplyOf: (partId: string) => Supply): Shortage[] {
  const takenOf = new Map<string, Taken>()
  return visits.flatMap(({ needs, ...visit }) =>
    [...groupBy(needs, ({ partId }) => partId)].flatMap(([partId, ofPart]): Shortage[] => {
      const taken = takenOf.get(partId) ?? nothingTaken(supplyOf(partId))
      takenOf.set(partId, taken)
      const { supply, units: earlier, expected: expectedBefore } = taken
      const arrived = supply.coming.filter(({ on }) => on !== null && on < visit.on)
      const available = Math.max(0, supply.onHand) + total(arrived)
      const here = demandOfNeeds(ofPart)
      taken.units = addNeeds(earlier, ofPart, taken.most)
      taken.expected += here.reduce((sum, share, n) => sum + n * share, 0)
      const chance = chanceShort(earlier, here, available)
      if (chance < WARN_FROM) return []
      return [{ partId, visit, needs: ofPart, chance, available, expectedBefore }]
    }),
  )
}

function nothingTaken(supply: Supply): Taken {
  // Once all that will ever be there is taken, how much more was wanted changes nothing.
  return { supply, most: Math.floor(Math.max(0, supply.onHand) + total(supply.coming)), units: [1], expected: 0 }
}

const total = (coming: Supply['coming']) => coming.reduce((sum, { quantity }) => sum + quantity, 0)
