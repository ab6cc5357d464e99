import 'server-only'
import { longRunDemand } from '@/lib/science'
import { findClass, findTask } from '@/lib/trade'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay } from '../frame/days'
import { answerTo } from '../frame/stored-answer'
import { minorToDecimalText } from '../money/currency'
import { keepInWords } from './advice'
import { adviseAll } from './advised-parts'
import { PART_OUTLOOKS } from './outlook'
import { deviceChoicesIn, partChoicesIn, workChoices } from './part-choices'
import { expectedDay, readPartsBook } from './parts-book'
import { FIRST_OF_PART, type PartAsked } from './schema'

/** Moves on one page of them. */
const MOVES_SHOWN = 20

/** Everything of one part; null where there is none in this business. */
export function partPage(actor: Actor, partId: string, now: Date, asked: PartAsked = FIRST_OF_PART) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const row = await tx.part.findFirst({ where: { businessId, id: partId } })
    if (!row) return null
    const book = await readPartsBook(tx, businessId, now)
    const { currency, locale, today, places } = book
    const { devices: deviceChoices, areMore: areMoreDevices } = await deviceChoicesIn(tx, businessId, asked.device)
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
      skip: (asked.moves - 1) * MOVES_SHOWN,
      take: MOVES_SHOWN + 1,
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
      ...(await partChoicesIn(tx, businessId, partId)),
      ...{ asked, deviceChoices, areMoreDevices },
      tasks: workChoices(),
      areEarlierMoves: moves.length > MOVES_SHOWN,
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
      moves: moves
        .slice(0, MOVES_SHOWN)
        .map(
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
