import 'server-only'
import { findTask } from '@/lib/trade'
import { type CommandContext, defineCommand } from '../frame/command'
import { done, invalid, refused } from '../frame/result'
import { markClassesStale } from '../lanes/stale-lanes'
import { amountTextToMinor } from '../money/currency'
import { NO_PART } from './parts-command'
import {
  addFitSchema,
  addPartSchema,
  editPartSchema,
  onePartSchema,
  type PartFields,
  readQuantity,
  removeFitSchema,
} from './schema'
import { holdings, openOrders } from './stock'

/** Adds a part to what is kept. Its id is the command's. */
export const addPart = defineCommand(
  { kind: 'parts.add', may: 'parts.change', schema: addPartSchema },
  async (context, input) => {
    const { actor } = context
    const columns = await columnsOf(context, input)
    if (!columns.ok) return columns
    const { businessId } = actor
    await context.tx.part.create({ data: { businessId, id: context.commandId, ...columns.value } })
    await context.audit('part', context.commandId, 'add', undefined, columns.value)
    return done({ partId: context.commandId })
  },
)

/** Changes what is known of a part. */
export const editPart = defineCommand(
  { kind: 'parts.edit', may: 'parts.change', schema: editPartSchema },
  async (context, input) => {
    const { actor } = context
    const before = await partOf(context, input.partId)
    if (!before) return NO_PART
    const columns = await columnsOf(context, input)
    if (!columns.ok) return columns
    await context.tx.part.update({
      where: { businessId_id: { businessId: actor.businessId, id: before.id } },
      data: columns.value,
    })
    await context.audit('part', before.id, 'edit', before, columns.value)
    if (before.costMinor !== columns.value.costMinor)
      await markClassesStale(context.tx, actor.businessId, await classesUsing(context, before.id))
    return done({ partId: before.id })
  },
)

/** Takes a part off the list; its moves stay. Refused while some of it lies somewhere. */
export const archivePart = defineCommand(
  { kind: 'parts.archive', may: 'parts.change', schema: onePartSchema },
  async (context, input) => {
    const { tx, actor, madeAt, audit } = context
    const { businessId } = actor
    const before = await partOf(context, input.partId)
    if (!before) return NO_PART
    if (before.archivedAt) return refused('already-so', `“${before.name}” is off the list already.`)
    const held = await holdings(tx, businessId, { partIds: [before.id] })
    if (held.length > 0)
      return refused('in-use', 'Some of it still lies somewhere on paper. Count it to 0 or write it off first.')
    if ((await openOrders(tx, businessId, before.id)).length > 0)
      return refused('in-use', 'Some of it is still on its way. Close that order first.')
    await tx.part.update({ where: { businessId_id: { businessId, id: before.id } }, data: { archivedAt: madeAt } })
    await audit('part', before.id, 'archive', before, { archivedAt: madeAt })
    await markClassesStale(tx, businessId, await classesUsing(context, before.id))
    return done({ partId: before.id })
  },
)

/** Says that a piece of work uses the part: on every device of the work's class, or on one. */
export const addFit = defineCommand(
  { kind: 'parts.fit', may: 'parts.change', schema: addFitSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const { businessId } = actor
    const part = await partOf(context, input.partId)
    if (!part) return NO_PART
    const task = findTask(input.careTask)
    if (!task) return refused('does-not-fit', 'There is no such work in the catalogue. Reload the page.')
    const equipmentId = input.equipmentId || null
    const device = equipmentId ? await tx.equipment.findFirst({ where: { businessId, id: equipmentId } }) : null
    if (equipmentId && device?.equipmentClass !== task.equipmentClass)
      return invalid({ equipmentId: [`“${task.name}” is not done on this device.`] })
    const same = { businessId, partId: part.id, careTask: task.slug, equipmentId }
    if (await tx.partFit.findFirst({ where: same, select: { id: true } }))
      return refused('already-so', 'The list says so already.')
    const row = { ...same, equipmentClass: task.equipmentClass, quantity: readQuantity(input.quantity) ?? 1 }
    await tx.partFit.create({ data: { ...row, id: commandId } })
    await audit('part_fit', commandId, 'add', undefined, row)
    await markClassesStale(tx, businessId, [task.equipmentClass])
    return done({ fitId: commandId })
  },
)

/** The work does not use the part after all. */
export const removeFit = defineCommand(
  { kind: 'parts.unfit', may: 'parts.change', schema: removeFitSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const { businessId } = actor
    const where = { businessId, id: input.fitId }
    const before = await tx.partFit.findFirst({ where })
    if (!before) return refused('not-found', 'The list does not say so any more. Reload the page.')
    await tx.partFit.deleteMany({ where })
    await audit('part_fit', before.id, 'remove', before, undefined)
    await markClassesStale(tx, businessId, [before.equipmentClass])
    return done({ fitId: before.id })
  },
)

/** The classes on which work uses the part. What it costs is part of what is cheapest there: the worker makes their lanes again. */
async function classesUsing({ tx, actor: { businessId } }: CommandContext, partId: string): Promise<string[]> {
  const fits = await tx.partFit.findMany({ where: { businessId, partId }, select: { equipmentClass: true } })
  return fits.map(({ equipmentClass }) => equipmentClass)
}

/** The part, also when it is off the list; null where there is none. */
export function partOf({ tx, actor }: CommandContext, id: string) {
  return tx.part.findUnique({ where: { businessId_id: { businessId: actor.businessId, id } } })
}

async function columnsOf({ tx, actor }: CommandContext, input: PartFields) {
  const { businessId } = actor
  const { currency } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { currency: true } })
  const amount = (text: string) => (text === '' ? 0 : amountTextToMinor(text, currency))
  const [costMinor, orderCostMinor] = [amount(input.cost), amount(input.orderCost)]
  const wrong = ['An amount with point or comma before the last figures, such as 12.50.']
  if (costMinor === null || orderCostMinor === null)
    return invalid({
      ...(costMinor === null ? { cost: wrong } : {}),
      ...(orderCostMinor === null ? { orderCost: wrong } : {}),
    })
  const supplierId = input.supplierId || null
  const priceItemId = input.priceItemId || null
  if (supplierId && !(await tx.supplier.findFirst({ where: { businessId, id: supplierId } })))
    return invalid({ supplierId: ['This supplier is not in the list any more.'] })
  if (priceItemId && !(await tx.priceItem.findFirst({ where: { businessId, id: priceItemId } })))
    return invalid({ priceItemId: ['This price is not in the list any more.'] })
  const { name, unit, note } = input
  return done({
    ...{ name, unit, note, supplierId, priceItemId, costMinor, orderCostMinor },
    packSize: Number(input.packSize),
    leadTimeDays: input.leadTimeDays === '' ? null : Number(input.leadTimeDays),
    serviceLevel: Number(input.servicePercent.replace(',', '.')) / 100,
  })
}
