import 'server-only'
import { todayOf } from '../frame/business-day'
import { defineCommand } from '../frame/command'
import { asDay, asDbDate } from '../frame/days'
import { done, invalid, refused } from '../frame/result'
import { rowId } from '../frame/row-ids'
import { arrivalDay } from './arrival-day'
import { NO_PART } from './parts-command'
import { closeOrderSchema, FIGURE_PREFIX, fitsUnit, NOT_WHOLE, placeOrdersSchema } from './schema'

/** Where neither part nor supplier says how long it takes. Common practice, no source. */
export const USUAL_LEAD_TIME_DAYS = 7

/** Writes down what was ordered at one supplier: one order for each part. Without a day they are expected after the lead time. */
export const placeOrders = defineCommand(
  { kind: 'parts.order', may: 'parts.change', schema: placeOrdersSchema },
  async ({ tx, actor, commandId, audit }, input) => {
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
  },
)

/** What is missing will not come: the order no longer counts as on its way. */
export const closeOrder = defineCommand(
  { kind: 'parts.close-order', may: 'parts.change', schema: closeOrderSchema },
  async ({ tx, actor, madeAt, audit }, input) => {
    const { businessId } = actor
    const order = await tx.partOrder.findFirst({ where: { businessId, id: input.orderId } })
    if (!order) return refused('not-found', 'This order is not in the list any more. Reload the page.')
    if (order.closedOn) return refused('already-so', 'This order is closed already.')
    const closedOn = asDbDate(await todayOf({ tx, actor, madeAt }))
    await tx.partOrder.update({ where: { businessId_id: { businessId, id: order.id } }, data: { closedOn } })
    await audit('part_order', order.id, 'close', order, { closedOn: asDay(closedOn) })
    return done({ orderId: order.id })
  },
)
