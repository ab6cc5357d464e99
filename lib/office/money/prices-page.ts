import 'server-only'
import { type Actor, inBusiness } from '../actor'
import { dayIn } from '../clients/days'
import { currencyDecimals } from './currency'
import type { ListedPrice } from './price-at'
import { readPriceList } from './price-list'
import { decimalInWords, rateInWords } from './projection'
import { PRICE_ITEM_KINDS, PRICED_VISIT_KINDS } from './schema'
import { exactDecimal, readTaxCategory, TAX_CATEGORY_WORDS } from './tax'

/** The price list, one row for each thing by name and unit: the price that holds today, and the one to come. */
export function pricesPage(actor: Actor) {
  return inBusiness(actor, async (tx) => {
    const business = await tx.business.findUniqueOrThrow({ where: { id: actor.businessId } })
    const { currency, locale } = business
    const today = dayIn(business.timeZone, new Date())
    const things = new Map<string, ListedPrice[]>()
    for (const entry of await readPriceList(tx, actor.businessId)) {
      const key = `${entry.name.toLowerCase()}\n${entry.unit.toLowerCase()}`
      things.set(key, [...(things.get(key) ?? []), entry])
    }
    const priceText = (entry: ListedPrice) => {
      const decimals = currencyDecimals(currency)
      return decimalInWords(entry.unitPrice, locale, decimals, Math.max(4, decimals))
    }
    const prices = [...things.values()].flatMap((entries) => {
      // Newest first, as read.
      const now = entries.find((entry) => entry.validFrom <= today) ?? entries.at(-1)
      if (!now) return []
      const next = entries.filter((entry) => entry.validFrom > now.validFrom).at(-1)
      const { category } = now.tax
      return [
        {
          id: now.id,
          name: now.name,
          kind: now.kind,
          unit: now.unit,
          validFrom: now.validFrom,
          priceText: priceText(now),
          taxText: category === 'S' ? rateInWords(now.tax.ratePercent, locale) : TAX_CATEGORY_WORDS[category],
          coming: next ? { priceText: priceText(next), validFrom: next.validFrom } : null,
          typed: typedOf(now),
        },
      ]
    })
    const defaultTax = {
      category: readTaxCategory(business.defaultTaxCategory),
      ratePercent: business.defaultTaxRate.toFixed(),
    }
    return { businessId: business.id, currency, locale, today, defaultTax, prices }
  })
}

/** The entry as its form shows it. */
function typedOf({ name, kind, unit, unitPrice, tax, validFrom, forVisitKind }: ListedPrice) {
  return {
    name,
    kind: PRICE_ITEM_KINDS.find((known) => known === kind) ?? 'part',
    unit,
    unitPrice: exactDecimal(unitPrice, 'price').toFixed(),
    taxCategory: tax.category,
    taxRate: exactDecimal(tax.ratePercent, 'tax rate').toFixed(),
    taxExemptionReason: tax.exemptionReason,
    validFrom,
    forVisitKind: PRICED_VISIT_KINDS.find((known) => known === forVisitKind) ?? ('' as const),
  }
}
