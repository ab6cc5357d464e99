/** Which entry of the price list holds for a thing on a day. Pure; dates ISO. */
import { type DecimalInput, type TaxCategory, type TaxPart, usualReason } from './tax'
import { hourlyRate, type TimeRate } from './time-rate'
import type { DatedTax } from './work-charge'

export type ListedPrice = {
  id: string
  name: string
  kind: string
  unit: string
  unitPrice: DecimalInput
  /** The kind of visit whose first price this is; null for any. */
  forVisitKind: string | null
  tax: { category: TaxCategory; ratePercent: DecimalInput; exemptionReason: string; parts: readonly TaxPart[] }
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

/** The price of a kind of visit: out of hours the entry for that, an entry for the kind, else labour by the hour. Null when the list has none. */
export function visitPriceAt(
  list: readonly ListedPrice[],
  kind: string,
  day: string,
  outOfHours: boolean,
): ListedPrice | null {
  const late = outOfHours ? list.filter((price) => price.forVisitKind === 'out_of_hours') : []
  const own = late.length > 0 ? late : list.filter((price) => price.forVisitKind === kind)
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

/** A stored category and rate as the tax of a line; category O has no rate (BR-O-05). */
export function datedTax(
  tax: {
    category: TaxCategory
    ratePercent: DecimalInput
    exemptionReason?: string
    parts?: readonly TaxPart[]
  },
  validFrom: string | null,
): DatedTax {
  return {
    category: tax.category,
    ratePercent: tax.category === 'O' ? null : tax.ratePercent,
    exemptionReason: tax.exemptionReason || usualReason(tax.category),
    parts: tax.parts ?? [],
    validFrom,
    validTo: null,
  }
}
