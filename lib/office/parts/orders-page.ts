import 'server-only'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay } from '../frame/days'
import { answerTo } from '../frame/stored-answer'
import { keepInWords } from './advice'
import { adviseAll } from './advised-parts'
import { shortagesAhead } from './booked-needs'
import { PART_OUTLOOKS } from './outlook'
import { expectedDay, readPartsBook } from './parts-book'

const CLOSED_SHOWN = 20

/** What to order at each supplier, what is on its way, and what came lately. */
export function ordersPage(actor: Actor, now: Date) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const book = await readPartsBook(tx, businessId, now)
    const outlook = await answerTo(tx, businessId, PART_OUTLOOKS, now)
    const advised = adviseAll(book, outlook?.answer ?? [])
    const short = await shortagesAhead(tx, businessId, now)
    const suppliers = await tx.supplier.findMany({
      where: { businessId },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
      select: { id: true, name: true, email: true, phone: true, leadTimeDays: true, archivedAt: true },
    })
    const lineOf = ({ advice, deviceCount, ...part }: (typeof advised)[number]) => ({
      ...{ partId: part.id, name: part.name, unit: part.unit, packSize: part.packSize, onHand: part.onHand },
      ...{ onOrder: part.onOrder, orderNow: advice.orderNow, keepAtLeast: advice.keepAtLeast },
      costMinor: part.costMinor,
      words: keepInWords(advice, { ...part, devices: deviceCount }),
      toCount: book.toCount(part.id),
      shortAt: (short ?? [])
        .filter(({ partId }) => partId === part.id)
        .map(({ visit }) => ({ on: visit.on, place: `${visit.tankName}, ${visit.siteName}` })),
    })
    const bySupplier = (supplierId: string | null) =>
      advised.filter((part) => (part.supplierId ?? null) === supplierId).map(lineOf)
    const groups = [
      ...suppliers.map(({ archivedAt, ...supplier }) => ({ supplier, lines: bySupplier(supplier.id) })),
      { supplier: null, lines: bySupplier(null) },
    ].filter(({ lines }) => lines.length > 0)
    const names = new Map(book.parts.map((part) => [part.id, part]))
    const supplierNames = new Map(suppliers.map(({ id, name }) => [id, name]))
    const closed = await tx.partOrder.findMany({
      where: { businessId, closedOn: { not: null } },
      orderBy: [{ closedOn: 'desc' }, { id: 'desc' }],
      include: { part: { select: { name: true } }, supplier: { select: { name: true } } },
      take: CLOSED_SHOWN,
    })
    return {
      ...{ businessId, currency: book.currency, locale: book.locale, today: book.today, places: book.places, groups },
      isAwaited: outlook === null || short === null,
      madeAt: outlook?.madeAt ?? null,
      open: book.orders.map((order) => ({
        ...{ id: order.id, partId: order.partId, left: order.left, quantity: order.quantity, note: order.note },
        name: names.get(order.partId)?.name ?? '',
        unit: names.get(order.partId)?.unit ?? '',
        supplierName: order.supplierId ? (supplierNames.get(order.supplierId) ?? '') : '',
        orderedOn: asDay(order.orderedOn),
        expectedOn: expectedDay(order),
        isLate: (expectedDay(order) ?? '9999') < book.today,
      })),
      closed: closed.map(({ id, part, supplier, quantity, receivedQuantity, orderedOn, closedOn }) => ({
        ...{
          id,
          name: part.name,
          supplierName: supplier?.name ?? '',
          orderedOn: asDay(orderedOn),
          closedOn: asDay(closedOn) ?? '',
        },
        quantity: quantity.toNumber(),
        received: receivedQuantity.toNumber(),
      })),
    }
  })
}
