/** Which entry of the price list holds for a thing on a day. Pure; dates ISO. */
import type { DatedTax } from './draft-lines'
import type { DecimalInput, TaxCategory } from './tax'
import { hourlyRate, type TimeRate } from './time-rate'

export type ListedPrice = {
  id: string
  name: string
  kind: string
  unit: string
  unitPrice: DecimalInput
  /** The kind of visit whose first price this is; null for any. */
  forVisitKind: string | null
  tax: { category: TaxCategory; ratePercent: DecimalInput; exemptionReason: string }
  validFrom: string
}

const named = (text: string) => text.trim().toLowerCase()
const newestFirst = (first: ListedPrice, second: ListedPrice) =>
  first.validFrom < second.validFrom ? 1 : first.validFrom > second.validFrom ? -1 : first.id < second.id ? 1 : -1

/** The newest of `prices` that holds on `day`; where none did yet, the oldest: a price written down late still is the price. */
function holdingOn(prices: readonly ListedPrice[], day: string): ListedPrice | null {
  const sorted = [...prices].sort(newestFirst)
  return sorted.find((price) => price.validFrom <= day) ?? sorted.at(-1) ?? null
}

/** All entries of one name and unit are one thing whose price changed from a day on. */
function entriesOf(list: readonly ListedPrice[], of: { name: string; unit?: string }): ListedPrice[] {
  return list.filter(
    (price) => named(price.name) === named(of.name) && (of.unit === undefined || named(price.unit) === named(of.unit)),
  )
}

/** The price of a part: by the entry it was taken from, else by its very name. Null when the list does not know it. */
export function partPriceAt(
  list: readonly ListedPrice[],
  part: { priceItemId: string | null; description: string },
  day: string,
): ListedPrice | null {
  const chosen = list.find((price) => price.id === part.priceItemId)
  return holdingOn(entriesOf(list, chosen ?? { name: part.description }), day)
}

const HOURS = new Set(['hour', 'hours', 'h'])

/** The price of a kind of visit: an entry for that kind, else labour by the hour. Null when the list has neither. */
export function visitPriceAt(list: readonly ListedPrice[], kind: string, day: string): ListedPrice | null {
  const own = list.filter((price) => price.forVisitKind === kind)
  const general = list.filter(
    (price) => price.forVisitKind === null && price.kind === 'labour' && HOURS.has(named(price.unit)),
  )
  return holdingOn(own.length > 0 ? own : general, day)
}

/** By the hour: the first hour whole, then by the quarter begun. By any other unit: one price for the visit, however long. */
export function rateOf(price: ListedPrice): TimeRate {
  if (HOURS.has(named(price.unit))) return hourlyRate(price.unitPrice, {})
  return { firstMinutes: Number.MAX_SAFE_INTEGER, firstPrice: price.unitPrice, stepMinutes: 1, stepPrice: '0' }
}

/**
 * The reason to print where the standard asks for one and the category itself says it all: the wording of EN 16931 rules
 * BR-AE-10, BR-IC-10, BR-G-10 and BR-O-10. An exemption (E) rests on a law that only the business knows.
 */
const REASON_OF_CATEGORY: Partial<Record<TaxCategory, string>> = {
  AE: 'Reverse charge',
  K: 'Intra-community supply',
  G: 'Export outside the EU',
  O: 'Not subject to VAT',
}

/** A stored category and rate as the tax of a line; category O has no rate (BR-O-05). */
export function datedTax(
  tax: { category: TaxCategory; ratePercent: DecimalInput; exemptionReason?: string },
  validFrom: string | null,
): DatedTax {
  return {
    category: tax.category,
    ratePercent: tax.category === 'O' ? null : tax.ratePercent,
    exemptionReason: tax.exemptionReason || (REASON_OF_CATEGORY[tax.category] ?? ''),
    validFrom,
    validTo: null,
  }
}
