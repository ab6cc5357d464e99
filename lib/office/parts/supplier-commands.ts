import 'server-only'
import { type CommandContext, defineCommand } from '../frame/command'
import { done, refused } from '../frame/result'
import { type AddSupplierInput, addSupplierSchema, editSupplierSchema, oneSupplierSchema } from './schema'

const GONE = refused('not-found', 'This supplier is not in the list any more. Reload the page.')

/** Adds a supplier. Its id is the command's. */
export const addSupplier = defineCommand(
  { kind: 'parts.supplier-add', may: 'parts.change', schema: addSupplierSchema },
  async ({ tx, actor, commandId, audit }, input) => {
    await tx.supplier.create({ data: { businessId: actor.businessId, id: commandId, ...columnsOf(input) } })
    await audit('supplier', commandId, 'add', undefined, columnsOf(input))
    return done({ supplierId: commandId })
  },
)

/** Changes what is known of a supplier. */
export const editSupplier = defineCommand(
  { kind: 'parts.supplier-edit', may: 'parts.change', schema: editSupplierSchema },
  async (context, input) => {
    const before = await supplierOf(context, input.supplierId)
    if (!before) return GONE
    await context.tx.supplier.update({ where: keyOf(before), data: columnsOf(input) })
    await context.audit('supplier', before.id, 'edit', before, columnsOf(input))
    return done({ supplierId: before.id })
  },
)

/** Takes a supplier off the list; parts and orders keep their name. */
export const archiveSupplier = defineCommand(
  { kind: 'parts.supplier-archive', may: 'parts.change', schema: oneSupplierSchema },
  async (context, input) => {
    const before = await supplierOf(context, input.supplierId)
    if (!before) return GONE
    if (before.archivedAt) return refused('already-so', `“${before.name}” is off the list already.`)
    await context.tx.supplier.update({ where: keyOf(before), data: { archivedAt: context.madeAt } })
    await context.audit('supplier', before.id, 'archive', before, { archivedAt: context.madeAt })
    return done({ supplierId: before.id })
  },
)

const keyOf = ({ businessId, id }: { businessId: string; id: string }) => ({ businessId_id: { businessId, id } })

function supplierOf({ tx, actor }: CommandContext, id: string) {
  return tx.supplier.findUnique({ where: keyOf({ businessId: actor.businessId, id }) })
}

function columnsOf({ name, email, phone, leadTimeDays, note }: AddSupplierInput) {
  return { name, email, phone, note, leadTimeDays: Number(leadTimeDays) }
}
