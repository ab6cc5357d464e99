/** What to take along: the newsvendor's balance of a second trip against carrying in vain. Pure. */
import { demandOfNeeds, newsvendor } from '@/lib/science'
import { groupBy } from '../frame/group-by'
import type { PartNeed, VisitWithNeeds } from './needs'

/** Loading, finding it again and bringing it back: three minutes of an hour at 48.00. Common practice, no source. */
const CARRIED_IN_VAIN_MINOR = 240
const SHARE_OF_PRICE_PER_DAY = 0.2 / 365
/** Where no cost of a second trip is stated: an hour and a half of driving and work. From memory. */
const SECOND_TRIP_MINOR = 7200

export type LoadLine = {
  partId: string
  /** So many should be on the van when it leaves. */
  take: number
  /** Chance that so many are enough. */
  enough: number
  /** The newsvendor's ratio that was aimed at. */
  ratio: number
  sure: number
  expected: number
  onVan: number
  /** To load from the shelf, as far as it has them, and what neither van nor shelf has. */
  fromShelf: number
  missing: number
  /** Other vans that have some, where something is missing. */
  elsewhere: { name: string; quantity: number }[]
  reasons: { visit: Omit<VisitWithNeeds, 'needs'>; need: PartNeed }[]
}

export type LoadInput = {
  visits: readonly VisitWithNeeds[]
  onVan: (partId: string) => number
  onShelf: (partId: string) => number
  inOtherVans: (partId: string) => { name: string; quantity: number }[]
  costMinor: (partId: string) => number
  days: number
}

/** One line for each part that these visits may use, the surest first. */
export function loadList({ visits, onVan, onShelf, inOtherVans, costMinor, days }: LoadInput): LoadLine[] {
  const all = visits.flatMap(({ needs, ...visit }) => needs.map((need) => ({ visit, need })))
  const lines = [...groupBy(all, ({ need }) => need.partId)].map(([partId, reasons]): LoadLine => {
    const needs = reasons.map(({ need }) => need)
    const table = demandOfNeeds(needs).map((probability, demand) => ({ demand, probability }))
    const trips = needs.map(({ secondTripMinor }) => secondTripMinor)
    const shortage = Math.max(...trips) || SECOND_TRIP_MINOR
    const excess = CARRIED_IN_VAIN_MINOR + costMinor(partId) * SHARE_OF_PRICE_PER_DAY * days
    const { stock: take, criticalRatio: ratio } = newsvendor({ table, shortage, excess })
    const held = Math.max(0, onVan(partId))
    const wanted = Math.max(0, take - held)
    // A van below zero on paper has none until somebody counts: what it should have comes from the shelf.
    const fromShelf = Math.min(wanted, Math.max(0, Math.floor(onShelf(partId))))
    const missing = Math.max(0, wanted - fromShelf)
    return {
      ...{ partId, take, ratio, reasons, fromShelf, missing },
      enough: table.reduce((sum, { demand, probability }) => (demand <= take ? sum + probability : sum), 0),
      sure: needs.filter(({ because }) => because !== 'chance').reduce((sum, { quantity }) => sum + quantity, 0),
      expected: needs.reduce((sum, { chance, quantity }) => sum + chance * quantity, 0),
      onVan: onVan(partId),
      elsewhere: missing > 0 ? inOtherVans(partId).filter(({ quantity }) => quantity > 0) : [],
    }
  })
  return lines
    .filter(({ take, onVan }) => take > 0 || onVan < 0)
    .sort((a, b) => b.sure - a.sure || b.expected - a.expected)
}

/** Days ahead for which a van keeps what it has: what the next ten working days ask for need not go back. */
export const KEEP_ON_VAN_DAYS = 14
