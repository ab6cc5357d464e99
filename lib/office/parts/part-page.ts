import 'server-only'
import { longRunDemand } from '@/lib/science'
import { careTasks, findClass, findTask } from '@/lib/trade'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay } from '../frame/days'
import { answerTo } from '../frame/stored-answer'
import { minorToDecimalText } from '../money/currency'
import { keepInWords } from './advice'
import { adviseAll } from './advised-parts'
import { PART_OUTLOOKS } from './outlook'
import { expectedDay, readPartsBook } from './parts-book'

const MOVES_SHOWN = 40
const DEVICES_OFFERED = 500

/** Everything of one part; null where there is none in this business. */
export function partPage(actor: Actor, partId: string, now: Date) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const row = await tx.part.findFirst({ where: { businessId, id: partId } })
    if (!row) return null
    const book = await readPartsBook(tx, businessId, now)
    const { currency, locale, today, places } = book
    const outlook = await answerTo(tx, businessId, PART_OUTLOOKS, now, { only: { partId } })
    const advised = adviseAll(book, outlook?.answer ?? []).find(({ id }) => id === partId)
    const fits = await tx.partFit.findMany({
      where: { businessId, partId },
      include: { equipment: { select: { label: true, tank: { select: { name: true } } } } },
      orderBy: [{ careTask: 'asc' }, { id: 'asc' }],
    })
    const moves = await tx.stockMove.findMany({
      where: { businessId, partId, correctedBy: { is: null } },
      include: {
        person: { select: { name: true } },
        visit: { select: { tank: { select: { name: true } }, site: { select: { name: true } } } },
      },
      orderBy: [{ movedOn: 'desc' }, { createdAt: 'desc' }, { id: 'desc' }],
      take: MOVES_SHOWN,
    })
    const names = new Map(
      (await tx.stockPlace.findMany({ where: { businessId }, select: { id: true, name: true } })).map((place) => [
        place.id,
        place.name,
      ]),
    )
    const money = (minor: number) => (minor === 0 ? '' : minorToDecimalText(minor, currency))
    return {
      ...{ businessId, partId, currency, locale, today },
      isArchived: row.archivedAt !== null,
      ...(await formChoicesIn(tx, businessId, partId)),
      typed: {
        ...{ name: row.name, unit: row.unit, note: row.note, supplierId: row.supplierId ?? '' },
        ...{ priceItemId: row.priceItemId ?? '', cost: money(row.costMinor), orderCost: money(row.orderCostMinor) },
        packSize: String(row.packSize),
        leadTimeDays: row.leadTimeDays === null ? '' : String(row.leadTimeDays),
        servicePercent: String(Math.round(row.serviceLevel.toNumber() * 1000) / 10),
      },
      places: places.map((place) => ({ ...place, quantity: book.held(partId, place.id) })),
      orders: book.orders
        .filter((order) => order.partId === partId)
        .map((order) => ({
          id: order.id,
          left: order.left,
          quantity: order.quantity,
          orderedOn: asDay(order.orderedOn),
          expectedOn: expectedDay(order),
        })),
      fits: fits.map(({ id, careTask, equipmentClass, equipment, quantity }) => ({
        ...{ id, quantity: quantity.toNumber(), taskName: findTask(careTask)?.name ?? careTask },
        className: findClass(equipmentClass)?.name ?? equipmentClass,
        device: equipment ? `${equipment.label}, ${equipment.tank.name}` : null,
      })),
      moves: moves.map(
        ({
          id,
          kind,
          fromPlaceId,
          toPlaceId,
          quantity,
          counted,
          movedOn,
          note,
          person,
          visitId,
          visit,
          correctsId,
        }) => ({
          ...{ id, kind, note, visitId, isCorrected: correctsId !== null },
          from: fromPlaceId ? (names.get(fromPlaceId) ?? '') : '',
          to: toPlaceId ? (names.get(toPlaceId) ?? '') : '',
          quantity: quantity.toNumber(),
          counted: counted?.toNumber() ?? null,
          on: asDay(movedOn),
          by: person?.name ?? '',
          at: visit ? `${visit.tank.name}, ${visit.site.name}` : '',
        }),
      ),
      isAwaited: outlook === null,
      madeAt: outlook?.madeAt ?? null,
      advised: advised
        ? {
            ...advised.advice,
            ...{ onHand: advised.onHand, onOrder: advised.onOrder, serviceLevel: advised.serviceLevel },
            leadTimeDays: advised.leadTimeDays,
            words: keepInWords(advised.advice, { ...advised, devices: advised.deviceCount }),
            otherLikely: advised.other ? longRunDemand(advised.other) * advised.advice.coverDays : 0,
            other: advised.other && {
              count: advised.other.count * (advised.other.quantity ?? 1),
              inDays: advised.other.exposure,
            },
            ...{ devices: advised.devices, deviceCount: advised.deviceCount, visitedCount: advised.visitedCount },
          }
        : null,
    }
  })
}

type Choice = { value: string; label: string }
/** What the forms of a part offer: suppliers, prices, kinds of work, devices. */
export type PartChoices = {
  suppliers: Choice[]
  prices: Choice[]
  tasks: Choice[]
  devices: Choice[]
  currency: string
}

/** With `partId` also the supplier and the price it has, though they are off the list: saving the form must not lose them. */
async function formChoicesIn(
  tx: Parameters<typeof readPartsBook>[0],
  businessId: string,
  partId?: string,
): Promise<PartChoices> {
  const inUse = { OR: [{ archivedAt: null }, ...(partId ? [{ parts: { some: { id: partId } } }] : [])] }
  const { currency } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { currency: true } })
  const suppliers = await tx.supplier.findMany({
    where: { businessId, ...inUse },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
    select: { id: true, name: true },
  })
  const prices = await tx.priceItem.findMany({
    where: { businessId, kind: { in: ['part', 'animal'] }, ...inUse },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
    select: { id: true, name: true },
  })
  const devices = await tx.equipment.findMany({
    where: { businessId, removedOn: null, tank: { archivedAt: null, mergedIntoId: null } },
    orderBy: [{ equipmentClass: 'asc' }, { tank: { name: 'asc' } }, { id: 'asc' }],
    select: { id: true, label: true, tank: { select: { name: true, site: { select: { name: true } } } } },
    take: DEVICES_OFFERED,
  })
  return {
    currency,
    suppliers: suppliers.map(({ id, name }) => ({ value: id, label: name })),
    prices: prices.map(({ id, name }) => ({ value: id, label: name })),
    tasks: careTasks
      .map(({ slug, name, equipmentClass }) => ({
        value: slug,
        label: `${findClass(equipmentClass)?.name ?? equipmentClass}: ${name}`,
      }))
      .sort((a, b) => (a.label < b.label ? -1 : 1)),
    devices: devices.map(({ id, label, tank }) => ({ value: id, label: `${label}, ${tank.name}, ${tank.site.name}` })),
  }
}

/** The same for the form of a new part. */
export function partChoices(actor: Actor): Promise<PartChoices> {
  return inBusiness(actor, (tx) => formChoicesIn(tx, actor.businessId))
}
