import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { asDay, asDbDate, dayIn } from '../frame/days'
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
/** All that pages about stock read together: parts, places, what lies where, what is on its way and what will be used. */
export type PartsBook = {
  businessId: string
  currency: string
  locale: string
  today: string
  todayDay: number
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
  orders: OpenOrder[]
}
/** With what stands due at the tanks that were asked for. */
export type BookWithDue = PartsBook & { dueParts: DuePart[] }

/** Reads the book and what stands due that uses a part: at these tanks, or at all. */
export async function readBookWithDue(
  tx: Transaction,
  businessId: string,
  now: Date,
  tankIds?: readonly string[],
): Promise<BookWithDue> {
  const book = await readPartsBook(tx, businessId, now)
  const fits = await readFits(tx, businessId)
  return { ...book, dueParts: await readDueParts(tx, businessId, fits, book.todayDay, tankIds) }
}

/** Reads it in the running transaction. */
export async function readPartsBook(tx: Transaction, businessId: string, now: Date): Promise<PartsBook> {
  const { timeZone, currency, locale } = await tx.business.findUniqueOrThrow({
    where: { id: businessId },
    select: { timeZone: true, currency: true, locale: true },
  })
  const today = dayIn(timeZone, now)
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
    ...{ businessId, currency, locale, today, todayDay, parts, places, held },
    onHand: (partId) => rounded(total.get(partId) ?? 0),
    available: (partId) => rounded(places.reduce((sum, { id }) => sum + Math.max(0, held(partId, id)), 0)),
    toCount: (partId) =>
      places
        .map(({ id, name }) => ({ placeId: id, name, quantity: held(partId, id) }))
        .filter(({ quantity }) => quantity < 0),
    orders: await openOrders(tx, businessId),
  }
}

/** Shelves, then vans, by name. */
export async function readPlaces(tx: Transaction, businessId: string): Promise<Place[]> {
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
