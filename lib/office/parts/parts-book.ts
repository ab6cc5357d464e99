import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type AsOf, asOf } from '../due/queries'
import { asDay, asDbDate } from '../frame/days'
import { dayOf } from '../lanes/day-numbers'
import { type DuePart, readDueParts } from './due-parts'
import { readFits } from './fits'
import { USUAL_LEAD_TIME_DAYS } from './order-commands'
import { holdings, type OpenOrder, openOrders } from './stock'

export type Place = { id: string; kind: string; name: string; personId: string | null; personName: string }
export type BookPart = {
  id: string
  name: string
  unit: string
  supplierId: string | null
  supplierName: string
  costMinor: number
  orderCostMinor: number
  packSize: number
  leadTimeDays: number
  serviceLevel: number
}
/** What lies where: parts, places and how much of each is in which. */
export type StockBook = {
  businessId: string
  currency: string
  locale: string
  timeZone: string
  today: string
  todayDay: number
  names: AsOf['names']
  parts: BookPart[]
  places: Place[]
  /** On paper; 0 where nothing is. */
  held: (partId: string, placeId: string) => number
  /** In all places together, below zero on paper included: the sum of what the places say. */
  onHand: (partId: string) => number
  /** What can be taken somewhere: a place below zero on paper has none, and takes none from the others. */
  available: (partId: string) => number
  /** Places whose paper says less than none: somebody must count there. */
  toCount: (partId: string) => { placeId: string; name: string; quantity: number }[]
}
/** All that the pages of the office about stock read together: with what is on its way. */
export type PartsBook = StockBook & { orders: OpenOrder[] }
/** With what stands due at the tanks that were asked for. */
export type BookWithDue = PartsBook & { dueParts: DuePart[] }

/** Reads the book and what stands due anywhere that uses a part. */
export async function readBookWithDue(tx: Transaction, businessId: string, now: Date): Promise<BookWithDue> {
  const book = await readPartsBook(tx, businessId, now)
  return { ...book, dueParts: await duePartsAt(tx, book) }
}

/** What stands due at these tanks, or at all, that uses a part. */
export async function duePartsAt(
  tx: Transaction,
  { businessId, names, todayDay }: StockBook,
  tankIds?: readonly string[],
): Promise<DuePart[]> {
  return readDueParts(tx, businessId, { fits: await readFits(tx, businessId), names, todayDay, tankIds })
}

/** Reads it in the running transaction. */
export async function readPartsBook(tx: Transaction, businessId: string, now: Date): Promise<PartsBook> {
  const stock = await readStockBook(tx, businessId, await asOf(tx, businessId, now))
  return { ...stock, orders: await openOrders(tx, businessId) }
}

/** What lies where, for a page that knows its day and names already. */
export async function readStockBook(tx: Transaction, businessId: string, at: AsOf): Promise<StockBook> {
  const { today, timeZone, currency, locale, names } = at
  const todayDay = dayOf(asDbDate(today))
  const rows = await tx.part.findMany({
    where: { businessId, archivedAt: null },
    include: { supplier: { select: { name: true, leadTimeDays: true } } },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  const parts = rows.map(({ supplier, serviceLevel, leadTimeDays, ...row }) => ({
    ...{ id: row.id, name: row.name, unit: row.unit, supplierId: row.supplierId, packSize: row.packSize },
    ...{ costMinor: row.costMinor, orderCostMinor: row.orderCostMinor, serviceLevel: serviceLevel.toNumber() },
    supplierName: supplier?.name ?? '',
    leadTimeDays: leadTimeDays ?? supplier?.leadTimeDays ?? USUAL_LEAD_TIME_DAYS,
  }))
  const lies = await holdings(tx, businessId)
  const heldBy = new Map(lies.map(({ partId, placeId, quantity }) => [`${partId} ${placeId}`, quantity]))
  const total = new Map<string, number>()
  for (const { partId, quantity } of lies) total.set(partId, (total.get(partId) ?? 0) + quantity)
  const places = await readPlaces(tx, businessId)
  const held = (partId: string, placeId: string) => heldBy.get(`${partId} ${placeId}`) ?? 0
  const rounded = (quantity: number) => Math.round(quantity * 1000) / 1000
  return {
    ...{ businessId, currency, locale, timeZone, today, todayDay, names, parts, places, held },
    onHand: (partId) => rounded(total.get(partId) ?? 0),
    available: (partId) => rounded(places.reduce((sum, { id }) => sum + Math.max(0, held(partId, id)), 0)),
    toCount: (partId) =>
      places
        .map(({ id, name }) => ({ placeId: id, name, quantity: held(partId, id) }))
        .filter(({ quantity }) => quantity < 0),
  }
}

/** Shelves, then vans, by name. */
async function readPlaces(tx: Transaction, businessId: string): Promise<Place[]> {
  const rows = await tx.stockPlace.findMany({
    where: { businessId, archivedAt: null },
    include: { person: { select: { name: true } } },
    orderBy: [{ kind: 'asc' }, { name: 'asc' }, { id: 'asc' }],
  })
  return rows.map(({ id, kind, name, personId, person }) => ({
    id,
    kind,
    name,
    personId,
    personName: person?.name ?? '',
  }))
}

/** The day on which the rest of an order is expected, `2026-12-03`; null where nobody knows. */
export const expectedDay = (order: Pick<OpenOrder, 'expectedOn'>) => asDay(order.expectedOn)
