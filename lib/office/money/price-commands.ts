import 'server-only'
import type { Actor } from '../actor'
import { asDay, asDbDate } from '../clients/days'
import { done, refused } from '../result'
import { changeMoney, type MoneyContext, type MoneyResult } from './money-command'
import type { EditPriceItem, OnePriceItem, PriceItem } from './schema'

type PriceResult = MoneyResult<{ priceItemId: string }>

/** Adds an entry to the price list. Its id is the command's. */
export function addPriceItem(actor: Actor, input: PriceItem): PriceResult {
  return changeMoney(actor, { action: 'money.change', kind: 'price.add' }, input, async (context) => {
    await context.tx.priceItem.create({
      data: { businessId: actor.businessId, id: context.commandId, ...columnsOf(input) },
    })
    await context.audit('price_item', context.commandId, 'add', undefined, columnsOf(input))
    return done({ priceItemId: context.commandId })
  })
}

/**
 * Changes an entry. From a later day on it is a new entry of the same name, and the old one holds for the days before;
 * on the same day the entry itself is put right. Invoices keep the price they were written with.
 */
export function editPriceItem(actor: Actor, input: EditPriceItem): PriceResult {
  return changeMoney(actor, { action: 'money.change', kind: 'price.edit' }, input, async (context) => {
    const { tx, commandId, audit } = context
    const { businessId } = actor
    const before = await priceItem(context, input.priceItemId)
    if (!before) return refused('not-found', 'This price is not in the list any more. Reload the page.')
    if (before.archivedAt) return refused('already-so', 'This price is archived. Add a new one instead.')
    const isNewPrice = input.validFrom > asDay(before.validFrom)
    const priceItemId = isNewPrice ? commandId : before.id
    if (isNewPrice) {
      await tx.priceItem.create({ data: { businessId, id: commandId, ...columnsOf(input) } })
      // The two are one thing by their name; renamed, the older entry takes the new name too.
      const { name, unit } = columnsOf(input)
      await tx.priceItem.updateMany({
        where: { businessId, name: before.name, unit: before.unit, archivedAt: null, NOT: { id: commandId } },
        data: { name, unit },
      })
    } else {
      await tx.priceItem.update({ where: { businessId_id: { businessId, id: before.id } }, data: columnsOf(input) })
    }
    await audit('price_item', priceItemId, 'edit', before, columnsOf(input))
    return done({ priceItemId })
  })
}

/** Takes an entry, with its older prices, off the list; invoices and parts that used it keep it. */
export function archivePriceItem(actor: Actor, input: OnePriceItem): PriceResult {
  return changeMoney(actor, { action: 'money.change', kind: 'price.archive' }, input, async (context) => {
    const { tx, madeAt, audit } = context
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
  })
}

function priceItem({ tx, actor }: MoneyContext, id: string) {
  return tx.priceItem.findUnique({ where: { businessId_id: { businessId: actor.businessId, id } } })
}

function columnsOf(input: PriceItem) {
  const { name, kind, unit, unitPrice, taxCategory, taxRate, taxExemptionReason } = input
  const forVisitKind = input.forVisitKind === '' ? null : input.forVisitKind
  const validFrom = asDbDate(input.validFrom)
  return { name, kind, unit, unitPrice, taxCategory, taxRate, taxExemptionReason, forVisitKind, validFrom }
}
