/**
 * What an invoice adds up to, by EN 16931: each line is rounded once, tax is reckoned once per category and rate (or
 * named tax, `tax-parts.ts`) on the sum of the line nets, and never by adding rounded line taxes. Pure; integer minor units at the edge.
 *
 * Source: EN 16931-1 rules BR-CO-10 to BR-CO-15, BR-CO-17, BR-S-08, BR-S-09; line net as in Peppol rule R120.
 */
import type Decimal from 'decimal.js'
import { currencyDecimals } from './currency'
import { type DecimalInput, exactDecimal, rateKey, type TaxCategory, type TaxTreatment } from './tax'

/** Whatever is taken off or put on is a line of its own, with its own tax. */
export type AmountLine = {
  /** numeric(12,3); negative on a line that takes something back. */
  quantity: DecimalInput
  /** Net price of one, numeric(14,4). */
  unitPrice: DecimalInput
  tax: TaxTreatment
}

export type InvoiceAmounts = {
  currency: string
  lines: readonly AmountLine[]
  /** The tax of a category and rate where it is not reckoned here: a credit note that takes the rest of what was charged. */
  taxes?: ReadonlyMap<string, number>
}

export type TaxGroup = {
  category: TaxCategory
  /** Of a named tax its name; its net may stand under another named tax too. */
  name?: string
  /** Shortest form, '20' or '7.7'; '0' for every category without tax. */
  ratePercent: string
  taxableMinor: number
  taxMinor: number
  /** Distinct reasons of the lines in this group, in the order met. */
  exemptionReasons: string[]
}

export type InvoiceTotals = {
  currency: string
  lineNetsMinor: number[]
  /** In the order first met on the lines. */
  taxGroups: TaxGroup[]
  /** Without tax. */
  netMinor: number
  taxMinor: number
  /** With tax. */
  grossMinor: number
}

function toSafeInteger(value: Decimal, what: string): number {
  const whole = value.toNumber()
  if (!Number.isSafeInteger(whole))
    throw new RangeError(`${what} is too large to be an amount of money: ${value.toFixed()}`)
  return whole === 0 ? 0 : whole // never minus zero
}

function addSafely(amounts: readonly number[], what: string): number {
  return amounts.reduce((sum, amount) => {
    const next = sum + amount
    if (!Number.isSafeInteger(next)) throw new RangeError(`${what} is too large to be an amount of money`)
    return next
  }, 0)
}

/**
 * Net of one line: quantity × unit price, rounded half up on the absolute value to minor units.
 * Errors: RangeError on text that is no number, or an amount past what a safe integer holds.
 * @example lineNetMinor({ quantity: '2', unitPrice: '6.40', tax }, 'GBP') // 1280
 */
export function lineNetMinor(line: AmountLine, currency: string): number {
  const quantity = exactDecimal(line.quantity, 'quantity')
  const price = exactDecimal(line.unitPrice, 'unit price')
  const exact = quantity.times(price).times(10 ** currencyDecimals(currency))
  return toSafeInteger(exact.toDecimalPlaces(0), 'line net')
}

/** What is taxed together: BR-E-01 and its sisters: exactly one group for each category without tax, whatever the reason; S: one per rate and name. */
export function taxGroupKey(
  tax: Pick<TaxTreatment, 'category' | 'ratePercent'> & { name?: string | undefined },
): string {
  return `${tax.category} ${rateKey(tax)}${tax.name === undefined ? '' : ` ${tax.name}`}`
}

/** What a line's net is taxed with: one category and rate, or each of its named taxes. */
function taxesOf(tax: TaxTreatment): Pick<TaxGroup, 'category' | 'ratePercent' | 'name'>[] {
  const { category, parts = [] } = tax
  if (parts.length === 0) return [{ category, ratePercent: rateKey(tax) }]
  return parts.map((part) => ({ category, ratePercent: rateKey(part), name: part.name }))
}

/** The keys of the groups in which a line's net stands. */
export const taxGroupKeys = (tax: TaxTreatment): string[] => taxesOf(tax).map(taxGroupKey)

function taxGroups(
  lines: readonly { netMinor: number; tax: TaxTreatment }[],
  taxes: ReadonlyMap<string, number> | undefined,
): TaxGroup[] {
  const groups = new Map<string, TaxGroup>()
  for (const { netMinor, tax } of lines)
    for (const one of taxesOf(tax)) {
      const key = taxGroupKey(one)
      const group = groups.get(key) ?? { ...one, taxableMinor: 0, taxMinor: 0, exemptionReasons: [] }
      group.taxableMinor = addSafely([group.taxableMinor, netMinor], 'taxable amount')
      const reason = (tax.exemptionReason ?? '').trim()
      if (reason !== '' && !group.exemptionReasons.includes(reason)) group.exemptionReasons.push(reason)
      groups.set(key, group)
    }
  for (const [key, group] of groups) {
    const rate = exactDecimal(group.ratePercent, 'tax rate')
    const tax = exactDecimal(String(group.taxableMinor), 'taxable amount').times(rate).dividedBy(100)
    group.taxMinor = taxes?.get(key) ?? toSafeInteger(tax.toDecimalPlaces(0), 'tax')
  }
  return [...groups.values()]
}

/**
 * The totals of an invoice or credit note. A credit note's own amounts are positive (it credits them); a line that
 * takes back part of a document is negative. Whether the tax treatments may stand is `taxProblems`' question; here a
 * category other than S with a rate above 0 is refused.
 * Errors: RangeError with a plain sentence on amounts that are no numbers or too large.
 */
export function invoiceTotals({ currency, lines, taxes }: InvoiceAmounts): InvoiceTotals {
  for (const { tax } of lines) {
    const rate = exactDecimal(rateKey(tax), 'tax rate')
    if (rate.isNegative() && !rate.isZero())
      throw new RangeError(`a tax rate cannot be negative, got ${rate.toFixed()}`)
    if (tax.category !== 'S' && !rate.isZero()) {
      throw new RangeError(`tax category ${tax.category} has no rate above 0, got ${rate.toFixed()}`)
    }
  }
  const lineNetsMinor = lines.map((line) => lineNetMinor(line, currency))
  const groups = taxGroups(
    lines.map(({ tax }, index) => ({ netMinor: lineNetsMinor[index] ?? 0, tax })),
    taxes,
  )
  const netMinor = addSafely(lineNetsMinor, 'net')
  const taxMinor = addSafely(
    groups.map((group) => group.taxMinor),
    'tax',
  )
  return {
    currency,
    lineNetsMinor,
    taxGroups: groups,
    netMinor,
    taxMinor,
    grossMinor: addSafely([netMinor, taxMinor], 'total'),
  }
}
