import 'server-only'
import { type CommandContext, defineCommand } from '../frame/command'
import { asDay, asDbDate } from '../frame/days'
import { done, refused } from '../frame/result'
import { MONEY } from './money-command'
import { editPriceItemSchema, onePriceItemSchema, type PriceItem, priceItemSchema } from './schema'
import { readTaxParts } from './tax-parts'
import { unitColumns } from './units'

/** Adds an entry to the price list. Its id is the command's. */
export const addPriceItem = defineCommand(
  { ...MONEY, kind: 'price.add', schema: priceItemSchema },
  async (context, input) => {
    const { actor } = context
    await context.tx.priceItem.create({
      data: { businessId: actor.businessId, id: context.commandId, ...columnsOf(input) },
    })
    await context.audit('price_item', context.commandId, 'add', undefined, columnsOf(input))
    return done({ priceItemId: context.commandId })
  },
)

/**
 * Changes an entry. From a later day on it is a new entry of the same name, and the old one holds for the days before;
 * on the same day the entry itself is put right. Invoices keep the price they were written with.
 */
export const editPriceItem = defineCommand(
  { ...MONEY, kind: 'price.edit', schema: editPriceItemSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const { businessId } = actor
    const before = await priceItem(context, input.priceItemId)
    if (!before) return refused('not-found', 'This price is not in the list any more. Reload the page.')
    if (before.archivedAt) return refused('already-so', 'This price is archived. Add a new one instead.')
    const isNewPrice = input.validFrom > asDay(before.validFrom)
    const priceItemId = isNewPrice ? commandId : before.id
    if (isNewPrice) {
      await tx.priceItem.create({ data: { businessId, id: commandId, ...columnsOf(input) } })
      // The two are one thing by their name; renamed, the older entry takes the new name too.
      const { name, unit, unitCode } = columnsOf(input)
      await tx.priceItem.updateMany({
        where: { businessId, name: before.name, unit: before.unit, archivedAt: null, NOT: { id: commandId } },
        data: { name, unit, unitCode },
      })
    } else {
      await tx.priceItem.update({ where: { businessId_id: { businessId, id: before.id } }, data: columnsOf(input) })
    }
    await audit('price_item', priceItemId, 'edit', before, columnsOf(input))
    return done({ priceItemId })
  },
)

/** Takes an entry, with its older prices, off the list; invoices and parts that used it keep it. */
export const archivePriceItem = defineCommand(
  { ...MONEY, kind: 'price.archive', schema: onePriceItemSchema },
  async (context, input) => {
    const { tx, actor, madeAt, audit } = context
    const { businessId } = actor
    const before = await priceItem(context, input.priceItemId)
    if (!before) return refused('not-found', 'This price is not in the list any more. Reload the page.')
    if (before.archivedAt) return refused('already-so', `“${before.name}” is archived already.`)
    await tx.priceItem.updateMany({
      where: { businessId, name: before.name, unit: before.unit, archivedAt: null },
      data: { archivedAt: madeAt },
    })
    await audit('price_item', before.id, 'archive', before, { archivedAt: madeAt })
    return done({ priceItemId: before.id })
  },
)

function priceItem({ tx, actor }: CommandContext, id: string) {
  return tx.priceItem.findUnique({ where: { businessId_id: { businessId: actor.businessId, id } } })
}

function columnsOf(input: PriceItem) {
  const { name, kind, unitPrice, taxCategory, taxRate, taxExemptionReason } = input
  const taxParts = readTaxParts(input.taxParts ?? '') ?? []
  const forVisitKind = input.forVisitKind === '' ? null : input.forVisitKind
  const validFrom = asDbDate(input.validFrom)
  const tax = { taxCategory, taxRate, taxExemptionReason, taxParts }
  return { name, kind, ...unitColumns(input.unit), unitPrice, ...tax, forVisitKind, validFrom }
}
