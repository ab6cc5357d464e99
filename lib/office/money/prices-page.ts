import 'server-only'
import { type Actor, inBusiness } from '../frame/actor'
import { dayIn } from '../frame/days'
import { countryWords } from './country-words'
import { currencyDecimals } from './currency'
import { decimalInWords, rateInWords } from './paper-manner'
import type { ListedPrice } from './price-at'
import { readPriceList } from './price-list'
import { pricesTaxedOtherwise } from './price-tax'
import { PRICE_ITEM_KINDS, PRICED_VISIT_KINDS } from './schema'
import { exactDecimal, readTaxCategory, type TaxCategory } from './tax'
import { storedTaxParts, taxPartsText } from './tax-parts'

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
    const words = countryWords(business.country)
    const taxText = (category: TaxCategory, ratePercent: string) =>
      category === 'S' ? `${words.tax} ${rateInWords(ratePercent, locale)}` : words.categories[category].toLowerCase()
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
          taxText: category === 'S' ? rateInWords(now.tax.ratePercent, locale) : words.categories[category],
          coming: next ? { priceText: priceText(next), validFrom: next.validFrom } : null,
          typed: typedOf(now),
        },
      ]
    })
    const defaultTax = {
      category: readTaxCategory(business.defaultTaxCategory),
      ratePercent: business.defaultTaxRate.toFixed(),
      parts: taxPartsText(storedTaxParts(business.defaultTaxParts)),
      text: taxText(readTaxCategory(business.defaultTaxCategory), business.defaultTaxRate.toFixed()),
    }
    const taxedOtherwise = await pricesTaxedOtherwise(tx, business)
    const monthRule = business.partMonths
    return { businessId: business.id, currency, locale, today, defaultTax, prices, taxedOtherwise, monthRule }
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
    taxParts: taxPartsText(tax.parts),
    validFrom,
    forVisitKind: PRICED_VISIT_KINDS.find((known) => known === forVisitKind) ?? ('' as const),
  }
}
