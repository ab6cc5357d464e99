import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { asOf } from '../due/queries'
import { type Actor, inBusiness } from '../frame/actor'
import { addDays, asDbDate } from '../frame/days'
import { KEEP_ON_VAN_DAYS, type LoadLine, loadList } from './load'
import { type VisitWithNeeds, visitsWithNeeds } from './needs'
import { duePartsAt, type Place, readStockBook, type StockBook } from './parts-book'

export type VanLoad = {
  days: string[]
  lines: (LoadLine & { name: string; unit: string; moreReasons: number })[]
}

/** Which days a load list is for: the next one with visits from tomorrow on, or all of the next seven. */
export const LOAD_SPANS = ['next-day', 'week'] as const
export type LoadSpan = (typeof LOAD_SPANS)[number]

/** So many of the visits that may use a part are named, the likeliest. */
const REASONS_NAMED = 12

/** So many vans are shown on one page; of more one is chosen. */
const VANS_TOGETHER = 4

/** Each van, or one of many: what it holds, what to load for the days asked for, and what can go back to the shelf. */
export function vansPage(actor: Actor, { span, vanId }: { span: LoadSpan; vanId?: string | undefined }, now: Date) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const book = await readStockBook(tx, businessId, await asOf(tx, businessId, now))
    const { today, locale } = book
    const all = book.places.filter(({ kind }) => kind === 'van')
    const chosen = all.length > VANS_TOGETHER ? [all.find(({ id }) => id === vanId) ?? all[0]] : all
    const shown = chosen.flatMap((van) => van ?? [])
    const planned = await plannedFor(tx, book, shown)
    const people = await tx.person.findMany({
      where: {
        businessId,
        archivedAt: null,
        mergedIntoId: null,
        OR: [{ isTechnician: true }, { stockPlaces: { some: {} } }],
      },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
      select: { id: true, name: true },
    })
    const vans = []
    for (const van of shown) {
      const later = visitsOf(van, planned)
      const ahead = later.filter(({ on }) => on > today && on <= addDays(today, 7))
      const first = ahead[0]?.on
      const visits = span === 'week' ? ahead : ahead.filter(({ on }) => on === first)
      const longer = loadFor(book, van, later, KEEP_ON_VAN_DAYS)
      vans.push({
        ...van,
        holds: holdsOf(book, van),
        load: {
          days: [...new Set(visits.map(({ on }) => on))],
          lines: loadFor(book, van, visits, span === 'week' ? 7 : 1),
        },
        bringBack: holdsOf(book, van).flatMap((held) => {
          const spare = held.quantity - (longer.find(({ partId }) => partId === held.partId)?.take ?? 0)
          return spare >= 1 ? [{ ...held, spare: Math.floor(spare) }] : []
        }),
      })
    }
    const shelves = book.places.filter(({ kind }) => kind === 'shelf')
    return {
      ...{ businessId, today, locale, span, vans, people },
      otherVans:
        all.length > VANS_TOGETHER ? all.map(({ id, name }) => ({ id, name, isShown: shown[0]?.id === id })) : [],
      shelves: shelves.map((shelf) => ({ ...shelf, holds: holdsOf(book, shelf) })),
    }
  })
}

/** The visits of the days for which vans keep what they have, at every tank where these vans go: who comes there first takes what is due. */
async function plannedFor(tx: Transaction, book: StockBook, vans: readonly Place[]): Promise<VisitWithNeeds[]> {
  const { businessId, today, todayDay } = book
  const span = { from: today, to: addDays(today, KEEP_ON_VAN_DAYS) }
  const stops = await tx.visit.findMany({
    where: {
      ...{ businessId, technicianId: { in: vans.flatMap(({ personId }) => personId ?? []) } },
      ...{ state: { in: ['booked', 'under_way'] }, localDate: { gte: asDbDate(span.from), lte: asDbDate(span.to) } },
    },
    distinct: ['tankId'],
    select: { tankId: true },
  })
  const tankIds = stops.map(({ tankId }) => tankId)
  return visitsWithNeeds(tx, businessId, { ...span, tankIds }, await duePartsAt(tx, book, tankIds), todayDay)
}

/** The load of one technician's van for one day, for the page of their route; null where they have no van or no part is kept. */
export async function loadForDay(
  tx: Transaction,
  book: StockBook,
  { technicianId, day, tankIds }: { technicianId: string; day: string; tankIds: readonly string[] },
): Promise<{ van: Place; lines: VanLoad['lines']; lacking: Map<string, string[]> } | null> {
  const { businessId, today, todayDay } = book
  const van = book.places.find(({ kind, personId }) => kind === 'van' && personId === technicianId)
  if (!van) return null
  // From today on, so that what an earlier visit of the same tank takes is not taken along twice.
  const span = { from: day < today ? day : today, to: day, tankIds }
  const planned = await visitsWithNeeds(tx, businessId, span, await duePartsAt(tx, book, tankIds), todayDay)
  const visits = visitsOf(van, planned).filter(({ on }) => on === day)
  const lines = loadFor(book, van, visits, 1)
  return { van, lines, lacking: lackingAtStops(book, van, visits) }
}

/** At which stops something surely wanted is not on the van, the earlier stops served first: words by visit. */
function lackingAtStops(book: StockBook, van: Place, visits: readonly VisitWithNeeds[]) {
  const left = new Map<string, number>()
  const lacking = new Map<string, string[]>()
  for (const { visitId, needs } of visits)
    for (const { partId, quantity, because, deviceLabel } of needs) {
      if (because === 'chance') continue
      const there = left.get(partId) ?? Math.max(0, book.held(partId, van.id))
      left.set(partId, there - quantity)
      if (there >= quantity) continue
      const elsewhere = book.places
        .filter(({ id }) => id !== van.id && book.held(partId, id) > 0)
        .map(({ name }) => name)
      const name = book.parts.find(({ id }) => id === partId)?.name ?? 'part'
      const enough = there > 0 ? 'Too little on the van' : 'Not on the van'
      const words =
        elsewhere.length > 0
          ? `${enough}: ${name} for ${deviceLabel}. There is more in: ${elsewhere.join(', ')}.`
          : `${enough}: ${name} for ${deviceLabel}. There is none anywhere else.`
      lacking.set(visitId, [...(lacking.get(visitId) ?? []), words])
    }
  return lacking
}

const visitsOf = ({ personId }: Place, planned: readonly VisitWithNeeds[]) =>
  planned.filter(({ technicianId }) => personId !== null && technicianId === personId)

function loadFor(book: StockBook, van: Place, visits: readonly VisitWithNeeds[], days: number) {
  const shelves = book.places.filter(({ kind }) => kind === 'shelf')
  const parts = new Map(book.parts.map((part) => [part.id, part]))
  return loadList({
    visits,
    days,
    onVan: (partId) => book.held(partId, van.id),
    onShelf: (partId) => shelves.reduce((sum, { id }) => sum + Math.max(0, book.held(partId, id)), 0),
    inOtherVans: (partId) =>
      book.places
        .filter(({ kind, id }) => kind === 'van' && id !== van.id)
        .map(({ id, name }) => ({ name, quantity: book.held(partId, id) })),
    costMinor: (partId) => parts.get(partId)?.costMinor ?? 0,
  }).map((line) => ({
    ...line,
    name: parts.get(line.partId)?.name ?? '',
    unit: parts.get(line.partId)?.unit ?? '',
    reasons: line.reasons.toSorted((a, b) => b.need.chance - a.need.chance).slice(0, REASONS_NAMED),
    moreReasons: Math.max(0, line.reasons.length - REASONS_NAMED),
  }))
}

function holdsOf(book: StockBook, place: Place) {
  return book.parts.flatMap(({ id, name, unit }) => {
    const quantity = book.held(id, place.id)
    return quantity === 0 ? [] : [{ partId: id, name, unit, quantity }]
  })
}
