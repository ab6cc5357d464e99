import 'server-only'
import type { Actor } from '../actor'
import { done, refused } from '../result'
import { changeParts, type PartsContext, type PartsResult } from './parts-command'
import type { AddSupplierInput, EditSupplierInput, OneSupplierInput } from './schema'

type SupplierResult = PartsResult<{ supplierId: string }>
const GONE = refused('not-found', 'This supplier is not in the list any more. Reload the page.')

/** Adds a supplier. Its id is the command's. */
export function addSupplier(actor: Actor, input: AddSupplierInput): SupplierResult {
  return changeParts(actor, 'parts.supplier-add', input, async ({ tx, commandId, audit }) => {
    await tx.supplier.create({ data: { businessId: actor.businessId, id: commandId, ...columnsOf(input) } })
    await audit('supplier', commandId, 'add', undefined, columnsOf(input))
    return done({ supplierId: commandId })
  })
}

/** Changes what is known of a supplier. */
export function editSupplier(actor: Actor, input: EditSupplierInput): SupplierResult {
  return changeParts(actor, 'parts.supplier-edit', input, async (context) => {
    const before = await supplierOf(context, input.supplierId)
    if (!before) return GONE
    await context.tx.supplier.update({ where: keyOf(before), data: columnsOf(input) })
    await context.audit('supplier', before.id, 'edit', before, columnsOf(input))
    return done({ supplierId: before.id })
  })
}

/** Takes a supplier off the list; parts and orders keep their name. */
export function archiveSupplier(actor: Actor, input: OneSupplierInput): SupplierResult {
  return changeParts(actor, 'parts.supplier-archive', input, async (context) => {
    const before = await supplierOf(context, input.supplierId)
    if (!before) return GONE
    if (before.archivedAt) return refused('already-so', `“${before.name}” is off the list already.`)
    await context.tx.supplier.update({ where: keyOf(before), data: { archivedAt: context.madeAt } })
    await context.audit('supplier', before.id, 'archive', before, { archivedAt: context.madeAt })
    return done({ supplierId: before.id })
  })
}

const keyOf = ({ businessId, id }: { businessId: string; id: string }) => ({ businessId_id: { businessId, id } })

function supplierOf({ tx, actor }: PartsContext, id: string) {
  return tx.supplier.findUnique({ where: keyOf({ businessId: actor.businessId, id }) })
}

function columnsOf({ name, email, phone, leadTimeDays, note }: AddSupplierInput) {
  return { name, email, phone, note, leadTimeDays: Number(leadTimeDays) }
}
