import 'server-only'
import type { Actor } from '../actor'
import { asDay, asDbDate, dayIn } from '../clients/days'
import { done, invalid, refused } from '../result'
import { rowId } from '../visits/row-ids'
import { arrivalDay } from './arrival-day'
import { changeParts, NO_PART, type PartsResult } from './parts-command'
import { type CloseOrderInput, FIGURE_PREFIX, fitsUnit, NOT_WHOLE, type PlaceOrdersInput } from './schema'

/** Where neither part nor supplier says how long it takes. Common practice, no source. */
export const USUAL_LEAD_TIME_DAYS = 7

/** Writes down what was ordered at one supplier: one order for each part. Without a day they are expected after the lead time. */
export function placeOrders(actor: Actor, input: PlaceOrdersInput): PartsResult<{ orders: number }> {
  return changeParts(actor, 'parts.order', input, async ({ tx, commandId, audit }) => {
    const { businessId } = actor
    const supplierId = input.supplierId || null
    const supplier = supplierId ? await tx.supplier.findFirst({ where: { businessId, id: supplierId } }) : null
    if (supplierId && !supplier)
      return refused('not-found', 'This supplier is not in the list any more. Reload the page.')
    for (const { partId, quantity } of input.parts) {
      const part = await tx.part.findFirst({ where: { businessId, id: partId, archivedAt: null } })
      if (!part) return NO_PART
      if (!fitsUnit(quantity, part.unit)) return invalid({ [`${FIGURE_PREFIX}${partId}`]: [NOT_WHOLE] })
      const days = part.leadTimeDays ?? supplier?.leadTimeDays ?? USUAL_LEAD_TIME_DAYS
      const id = rowId(commandId, `order ${partId}`)
      const row = {
        ...{ partId, supplierId, quantity, note: input.note, orderedOn: asDbDate(input.orderedOn) },
        expectedOn: asDbDate(input.expectedOn || arrivalDay(input.orderedOn, days)),
      }
      await tx.partOrder.create({ data: { ...row, businessId, id } })
      await audit('part_order', id, 'add', undefined, row)
    }
    return done({ orders: input.parts.length })
  })
}

/** What is missing will not come: the order no longer counts as on its way. */
export function closeOrder(actor: Actor, input: CloseOrderInput): PartsResult<{ orderId: string }> {
  return changeParts(actor, 'parts.close-order', input, async ({ tx, madeAt, audit }) => {
    const { businessId } = actor
    const order = await tx.partOrder.findFirst({ where: { businessId, id: input.orderId } })
    if (!order) return refused('not-found', 'This order is not in the list any more. Reload the page.')
    if (order.closedOn) return refused('already-so', 'This order is closed already.')
    const { timeZone } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } })
    const closedOn = asDbDate(dayIn(timeZone, madeAt))
    await tx.partOrder.update({ where: { businessId_id: { businessId, id: order.id } }, data: { closedOn } })
    await audit('part_order', order.id, 'close', order, { closedOn: asDay(closedOn) })
    return done({ orderId: order.id })
  })
}
