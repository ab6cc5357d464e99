import 'server-only'
import { newId } from '@/lib/new-id'
import type { Transaction } from '@/lib/platform/db/scope'
import { defineCommand } from '../frame/command'
import { asDbDate } from '../frame/days'
import { done, refused } from '../frame/result'
import { MONEY } from './money-command'
import { taxPricesSchema } from './schema'
import { readTaxCategory, usualReason } from './tax'
import { storedTaxParts } from './tax-parts'

type Business = { id: string; defaultTaxCategory: string }

/** Of a business's usual category: those that a price of its should not have. Registered as exempt it has reasons of its own, price by price. */
const OTHER_CATEGORIES: Readonly<Record<string, (category: string) => boolean>> = {
  S: (category) => category === 'O',
  Z: (category) => category === 'O',
  O: (category) => category !== 'O',
}

/**
 * Entries that do not go with the business: without tax though it is registered by now, or with tax though it is not any more. One that a later
 * entry has put right is history.
 */
async function entriesTaxedOtherwise(tx: Transaction, { id: businessId, defaultTaxCategory }: Business) {
  const isOther = OTHER_CATEGORIES[defaultTaxCategory] ?? (() => false)
  const entries = await tx.priceItem.findMany({
    where: { businessId, archivedAt: null },
    orderBy: [{ name: 'asc' }, { validFrom: 'asc' }, { id: 'asc' }],
  })
  const others = entries.filter((entry) => {
    const later = entries.filter((other) => sameThing(other, entry) && other.validFrom > entry.validFrom)
    return isOther(entry.taxCategory) && later.every((other) => isOther(other.taxCategory))
  })
  return { entries, others }
}

/** How many things of the price list do not go with the business's usual tax. */
export async function pricesTaxedOtherwise(tx: Transaction, business: Business): Promise<number> {
  const { others } = await entriesTaxedOtherwise(tx, business)
  return others.filter((entry, index) => others.findIndex((other) => sameThing(other, entry)) === index).length
}

/**
 * Gives all of them the business's usual tax from a day on; the prices themselves are without tax and stay. An entry that held before gets a
 * successor of that day, one that begins later is put right. Drafts and invoices keep what they were written with.
 */
export const taxPrices = defineCommand(
  { ...MONEY, kind: 'price.tax-all', schema: taxPricesSchema },
  async ({ tx, actor, audit, commandId }, input) => {
    const { businessId } = actor
    const business = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    const category = readTaxCategory(business.defaultTaxCategory)
    const tax = {
      taxCategory: category,
      taxRate: business.defaultTaxRate,
      taxExemptionReason: usualReason(category),
      taxParts: storedTaxParts(business.defaultTaxParts),
    }
    const { entries, others } = await entriesTaxedOtherwise(tx, business)
    if (others.length === 0) return refused('already-so', 'Every price has the tax of your settings already.')
    const from = asDbDate(input.validFrom)
    const later = others.filter(({ validFrom }) => validFrom >= from)
    await tx.priceItem.updateMany({ where: { businessId, id: { in: later.map(({ id }) => id) } }, data: tax })
    const holding = others.filter((entry) => {
      const begun = entries.filter((other) => sameThing(other, entry) && other.validFrom <= from).sort(newestFirst)
      return begun[0]?.id === entry.id && entry.validFrom < from
    })
    await tx.priceItem.createMany({
      data: holding.map(({ taxCategory: _, taxRate: __, taxParts: ___, ...entry }) => ({
        ...entry,
        ...tax,
        id: newId(),
        validFrom: from,
      })),
    })
    const changed = [...new Set([...later, ...holding].map(({ name }) => name))]
    await audit('price_item', commandId, 'tax-all', undefined, { ...input, category, changed })
    return done({ changed: changed.length })
  },
)

type Entry = { id: string; name: string; unit: string; validFrom: Date }

/** Entries of one name and unit are one thing whose price changed from a day on. */
const sameThing = (first: Entry, second: Entry) =>
  first.name.toLowerCase() === second.name.toLowerCase() && first.unit.toLowerCase() === second.unit.toLowerCase()
const newestFirst = (first: Entry, second: Entry) =>
  second.validFrom.getTime() - first.validFrom.getTime() || (first.id < second.id ? 1 : -1)
