import { type Actor, inBusiness } from '@/lib/office/frame/actor'
import { addDays } from '@/lib/office/frame/days'
import { adviseAll } from '@/lib/office/parts/advised-parts'
import {
  addFit,
  addPart,
  addPlace,
  addSupplier,
  countPlace,
  moveStock,
  placeOrders,
  receive,
  takeOff,
} from '@/lib/office/parts/commands'
import { visitsWithNeeds } from '@/lib/office/parts/needs'
import { PART_OUTLOOKS } from '@/lib/office/parts/outlook'
import { readBookWithDue, readPartsBook } from '@/lib/office/parts/parts-book'
import { EMPTY_PART } from '@/lib/office/parts/schema'
import { findShortages } from '@/lib/office/parts/shortages'
import type { Calendar } from './calendar'
import { demoId } from './demo-ids'
import { applied } from './expect'
import { TECHNICIANS } from './names'
import { DEMO_PARTS, DEMO_SUPPLIERS, OPENING_SHELF, OPENING_VAN } from './stock-plan'
import { PLANTED_STOCK } from './truth'

export type Stockroom = {
  partIds: ReadonlyMap<string, string>
  shelf: string
  vans: string[]
  suppliers: Map<string, string>
}
type Needs = { owner: Actor; technicians: readonly Actor[]; calendar: Calendar; weeksByPhone: number }

/** Suppliers, parts, places and what lay there when the phones came, before anything is used at a visit. */
export async function loadStockroom(
  { owner, technicians, calendar, weeksByPhone }: Needs,
  priceIds: ReadonlyMap<string, string>,
): Promise<Stockroom> {
  const { say, at } = teller(owner, calendar)
  const movedOn = addDays(calendar.today, -7 * (weeksByPhone + 1))
  const suppliers = new Map<string, string>()
  for (const { key, name, leadTimeDays, note } of DEMO_SUPPLIERS) {
    const place = `${key}@${name.toLowerCase().replaceAll(' ', '-')}.example`
    const input = { ...at(`supplier ${key}`), name, leadTimeDays, note, email: place, phone: '01632 960180' }
    suppliers.set(key, (await say(`add ${name}`, addSupplier(owner, input))).supplierId)
  }
  const add = async (kind: 'shelf' | 'van', name: string, personId: string) =>
    (await say(`add ${name}`, addPlace(owner, { ...at(`place ${name}`), kind, name, personId }))).placeId
  const shelf = await add('shelf', 'Workshop shelf', '')
  const vans: string[] = []
  for (const [place, { personId }] of technicians.entries())
    vans.push(await add('van', `${TECHNICIANS[place]?.name.split(' ')[0] ?? ''}’s van`, personId))
  const partIds = new Map<string, string>()
  for (const { key, name, supplier, task, price, ...figures } of DEMO_PARTS) {
    const known = { ...EMPTY_PART, ...figures, name, supplierId: suppliers.get(supplier) ?? '' }
    const input = { ...known, ...at(`part ${key}`), priceItemId: priceIds.get(price) ?? '' }
    const { partId } = await say(`add ${name}`, addPart(owner, input))
    partIds.set(key, partId)
    await say(
      `fit ${name}`,
      addFit(owner, { ...at(`fit ${key}`), partId, careTask: task, equipmentId: '', quantity: '1' }),
    )
    const opening = { partId, movedOn, note: 'Opening stock' }
    const all = String(OPENING_SHELF + OPENING_VAN * vans.length)
    const came = { ...at(`opening ${key}`), ...opening, placeId: shelf, quantity: all, orderId: '' }
    await say(`open with ${name}`, receive(owner, came))
    for (const [place, toPlaceId] of vans.entries()) {
      const move = { ...at(`opening ${key} ${place}`), ...opening, quantity: String(OPENING_VAN) }
      await say(`load ${name}`, moveStock(owner, { ...move, fromPlaceId: shelf, toPlaceId }))
    }
  }
  return { partIds, shelf, vans, suppliers }
}

/** Brings the stock to what `PLANTED_STOCK` says of today, once the visits are told and the due dates are known. */
export async function loadStockToday({ owner, calendar }: Needs, room: Stockroom): Promise<void> {
  const { say, at } = teller(owner, calendar)
  const { today, monday } = calendar
  const { shelf, partIds } = room
  const keyOf = new Map([...partIds].map(([key, id]) => [id, key]))
  const now = await inBusiness(owner, async (tx) => {
    const book = await readBookWithDue(tx, owner.businessId, calendar.now)
    const span = { from: today, to: addDays(today, 14) }
    const visits = await visitsWithNeeds(tx, owner.businessId, span, book.dueParts, book.todayDay)
    return { book, visits, advised: adviseAll(book, await PART_OUTLOOKS.workOut(tx, owner.businessId, calendar.now)) }
  })
  /** The least on hand at which this week's visits lack nothing and a later one does; null where no number does both. */
  const shortFrom = (key: string) => {
    for (let onHand = 0; onHand < 60; onHand++) {
      const [first] = findShortages(now.visits, () => ({ onHand, coming: [] })).filter(
        ({ partId }) => partId === partIds.get(key),
      )
      if (!first) return null
      if (first.visit.on >= addDays(monday, 7)) return onHand
    }
    return null
  }
  const short = PLANTED_STOCK.shortAhead
    .map((key) => ({ key, onHand: shortFrom(key) }))
    .find(({ onHand }) => onHand !== null)
  const onItsWay = PLANTED_STOCK.onItsWay.find((key) => key !== short?.key)
  for (const part of now.advised) {
    const key = keyOf.get(part.id) ?? ''
    const keep = part.advice.keepAtLeast
    const wanted =
      key === short?.key ? (short.onHand ?? 0) : key === PLANTED_STOCK.toOrder ? Math.max(0, keep - 1) : keep + 2
    const ordered = key === onItsWay ? Math.min(2, wanted) : 0
    const change = wanted - ordered - part.onHand
    const common = { partId: part.id, movedOn: addDays(today, -9), note: '' }
    if (change > 0) {
      const came = { ...at(`filled ${key}`), ...common, placeId: shelf, quantity: String(change), orderId: '' }
      await say(`fill up ${part.name}`, receive(owner, came))
    }
    if (ordered > 0) {
      const placed = { supplierId: part.supplierId ?? '', orderedOn: addDays(today, -6), expectedOn: addDays(today, 4) }
      const order = {
        ...at(`order ${key}`),
        ...placed,
        note: 'Order 2217',
        parts: [{ partId: part.id, quantity: ordered }],
      }
      await say(`order ${part.name}`, placeOrders(owner, order))
    }
    let spare = -change
    for (const placeId of [shelf, ...room.vans]) {
      const held = now.book.held(part.id, placeId) + (placeId === shelf ? Math.max(0, change) : 0)
      const gone = Math.min(Math.max(0, spare), Math.max(0, held))
      spare -= gone
      if (gone > 0) {
        const back = { ...at(`returned ${key} ${placeId}`), ...common, kind: 'returned' as const, placeId }
        await say(
          `send ${part.name} back`,
          takeOff(owner, { ...back, quantity: String(gone), note: 'Ordered too many' }),
        )
      }
    }
  }
  await countVans(owner, calendar, room)
}

/** The technicians count their vans this morning: what is below zero on paper was taken from the shelf, or from a colleague's van, and is put right first. */
async function countVans(owner: Actor, calendar: Calendar, { shelf, vans }: Stockroom): Promise<void> {
  const { say, at } = teller(owner, calendar)
  const { book } = await inBusiness(owner, async (tx) => ({
    book: await readPartsBook(tx, owner.businessId, calendar.now),
  }))
  const places = [shelf, ...vans]
  const first = vans[0]
  const counts: { partId: string; quantity: number }[] = []
  for (const { id: partId, name } of book.parts) {
    const held = new Map(places.map((place) => [place, book.held(partId, place)]))
    for (const toPlaceId of vans)
      for (const fromPlaceId of places) {
        const [lacks, has] = [-(held.get(toPlaceId) ?? 0), held.get(fromPlaceId) ?? 0]
        const quantity = Math.min(lacks, has)
        if (quantity <= 0) continue
        held.set(toPlaceId, quantity - lacks)
        held.set(fromPlaceId, has - quantity)
        const move = { partId, fromPlaceId, toPlaceId, movedOn: addDays(calendar.today, -8), note: '' }
        const key = `reload ${partId} ${places.indexOf(fromPlaceId)} ${places.indexOf(toPlaceId)}`
        await say(`load ${name}`, moveStock(owner, { ...at(key), ...move, quantity: String(quantity) }))
      }
    const there = first ? (held.get(first) ?? 0) : 0
    if (there > 0) counts.push({ partId, quantity: there })
  }
  if (!first) return
  if (counts.length > 0)
    await say('count a van', countPlace(owner, { ...at('count'), placeId: first, countedOn: calendar.today, counts }))
}

function teller({ businessId }: Actor, { now }: Calendar) {
  return {
    at: (key: string) => ({ commandId: demoId(now.getTime(), `stock ${key}`), businessId }),
    say: async <T>(what: string, answer: Promise<Parameters<typeof applied<T, string>>[1]>) =>
      applied(what, await answer),
  }
}
