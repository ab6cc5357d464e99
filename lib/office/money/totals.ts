/**
 * What an invoice adds up to, by EN 16931: each line is rounded once, tax is reckoned once per category and rate on the
 * sum of the line nets, and never by adding rounded line taxes. Pure; integer minor units at the edge.
 *
 * Source: EN 16931-1 rules BR-CO-10 to BR-CO-17, BR-S-08, BR-S-09; line net as in Peppol rule R120.
 */
import type Decimal from 'decimal.js'
import { currencyDecimals } from './currency'
import { type DecimalInput, exactDecimal, rateKey, type TaxCategory, type TaxTreatment } from './tax'

export type AmountLine = {
  /** numeric(12,3); negative on a line that takes something back. */
  quantity: DecimalInput
  /** Net price of `baseQuantity` units, numeric(14,4). */
  unitPrice: DecimalInput
  /** How many units the price is for; above 0; 1 when left out. */
  baseQuantity?: DecimalInput
  /** Sums taken off and put on this line, in minor units, not negative. */
  allowanceMinor?: number
  chargeMinor?: number
  tax: TaxTreatment
}

/** An allowance or charge on the whole document, with its own tax treatment. Minor units, not negative. */
export type DocumentAdjustment = { kind: 'allowance' | 'charge'; amountMinor: number; tax: TaxTreatment }

export type InvoiceAmounts = {
  currency: string
  lines: readonly AmountLine[]
  adjustments?: readonly DocumentAdjustment[]
  /** Already paid, e.g. a deposit; minor units. */
  paidMinor?: number
  /** Rounding of the amount due, e.g. to five cents; minor units. */
  roundingMinor?: number
}

export type TaxGroup = {
  category: TaxCategory
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
  sumOfLineNetsMinor: number
  allowancesMinor: number
  chargesMinor: number
  /** Without tax. */
  netMinor: number
  taxMinor: number
  /** With tax. */
  grossMinor: number
  paidMinor: number
  roundingMinor: number
  /** Gross − paid + rounding (BR-CO-16). Negative when overpaid. */
  dueMinor: number
}

function toSafeInteger(value: Decimal, what: string): number {
  const whole = value.toNumber()
  if (!Number.isSafeInteger(whole))
    throw new RangeError(`${what} is too large to be an amount of money: ${value.toFixed()}`)
  return whole === 0 ? 0 : whole // never minus zero
}

function minorUnits(value: number | undefined, what: string, { mayBeNegative }: { mayBeNegative: boolean }): number {
  const minor = value ?? 0
  if (!Number.isSafeInteger(minor)) throw new RangeError(`${what} must be whole minor units, got ${minor}`)
  if (!mayBeNegative && minor < 0) throw new RangeError(`${what} must not be negative, got ${minor}`)
  return minor
}

function addSafely(amounts: readonly number[], what: string): number {
  return amounts.reduce((sum, amount) => {
    const next = sum + amount
    if (!Number.isSafeInteger(next)) throw new RangeError(`${what} is too large to be an amount of money`)
    return next
  }, 0)
}

/**
 * Net of one line: quantity × unit price ÷ base quantity, rounded half up on the absolute value to minor units, less
 * its allowance, plus its charge. Errors: RangeError on text that is no number, base quantity not above 0, or amounts
 * past what a safe integer holds.
 * @example lineNetMinor({ quantity: '2', unitPrice: '6.40', tax }, 'GBP') // 1280
 */
export function lineNetMinor(line: AmountLine, currency: string): number {
  const quantity = exactDecimal(line.quantity, 'quantity')
  const price = exactDecimal(line.unitPrice, 'unit price')
  const base = exactDecimal(line.baseQuantity ?? '1', 'base quantity')
  if (!base.greaterThan(0)) throw new RangeError(`base quantity must be above 0, got ${base.toFixed()}`)
  // Scaled before dividing: a quotient of such short decimals lies either on a half or far further from it than the
  // 80 figures kept, so the division cannot push a tie the wrong way.
  const scaled = quantity.times(price).times(10 ** currencyDecimals(currency))
  const exact = scaled.dividedBy(base)
  const rounded = toSafeInteger(exact.toDecimalPlaces(0), 'line net')
  const allowance = minorUnits(line.allowanceMinor, 'line allowance', { mayBeNegative: false })
  const charge = minorUnits(line.chargeMinor, 'line charge', { mayBeNegative: false })
  return addSafely([rounded, -allowance, charge], 'line net')
}

function groupKey(tax: TaxTreatment): string {
  // BR-E-01 and its sisters: exactly one group for each category without tax, whatever the reason; S: one per rate.
  return `${tax.category} ${rateKey(tax)}`
}

function taxGroups(parts: readonly { netMinor: number; tax: TaxTreatment }[]): TaxGroup[] {
  const groups = new Map<string, TaxGroup>()
  for (const { netMinor, tax } of parts) {
    const key = groupKey(tax)
    const group = groups.get(key) ?? {
      category: tax.category,
      ratePercent: rateKey(tax),
      taxableMinor: 0,
      taxMinor: 0,
      exemptionReasons: [],
    }
    group.taxableMinor = addSafely([group.taxableMinor, netMinor], 'taxable amount')
    const reason = (tax.exemptionReason ?? '').trim()
    if (reason !== '' && !group.exemptionReasons.includes(reason)) group.exemptionReasons.push(reason)
    groups.set(key, group)
  }
  for (const group of groups.values()) {
    const rate = exactDecimal(group.ratePercent, 'tax rate')
    const tax = exactDecimal(String(group.taxableMinor), 'taxable amount').times(rate).dividedBy(100)
    group.taxMinor = toSafeInteger(tax.toDecimalPlaces(0), 'tax')
  }
  return [...groups.values()]
}

/**
 * The totals of an invoice or credit note. A credit note's own amounts are positive (it credits them); a line that
 * takes back part of a document is negative. Whether the tax treatments may stand is `taxProblems`' question; here a
 * category other than S with a rate above 0 is refused.
 * Errors: RangeError with a plain sentence on amounts that are no numbers or too large.
 */
export function invoiceTotals(amounts: InvoiceAmounts): InvoiceTotals {
  const { currency, lines, adjustments = [] } = amounts
  for (const { tax } of [...lines, ...adjustments]) {
    const rate = exactDecimal(rateKey(tax), 'tax rate')
    if (rate.isNegative() && !rate.isZero())
      throw new RangeError(`a tax rate cannot be negative, got ${rate.toFixed()}`)
    if (tax.category !== 'S' && !rate.isZero()) {
      throw new RangeError(`tax category ${tax.category} has no rate above 0, got ${rate.toFixed()}`)
    }
  }
  const lineNetsMinor = lines.map((line) => lineNetMinor(line, currency))
  const signed = adjustments.map((adjustment) => {
    const amountMinor = minorUnits(adjustment.amountMinor, adjustment.kind, { mayBeNegative: false })
    return { kind: adjustment.kind, amountMinor, tax: adjustment.tax }
  })
  const sumOf = (kind: DocumentAdjustment['kind']) =>
    addSafely(
      signed.filter((adjustment) => adjustment.kind === kind).map((adjustment) => adjustment.amountMinor),
      `sum of ${kind}s`,
    )
  const groups = taxGroups([
    ...lines.map((line, index) => ({ netMinor: lineNetsMinor[index] ?? 0, tax: line.tax })),
    ...signed.map(({ kind, amountMinor, tax }) => ({
      netMinor: kind === 'allowance' ? -amountMinor : amountMinor,
      tax,
    })),
  ])
  const sumOfLineNetsMinor = addSafely(lineNetsMinor, 'sum of the lines')
  const allowancesMinor = sumOf('allowance')
  const chargesMinor = sumOf('charge')
  const netMinor = addSafely([sumOfLineNetsMinor, -allowancesMinor, chargesMinor], 'net')
  const taxMinor = addSafely(
    groups.map((group) => group.taxMinor),
    'tax',
  )
  const grossMinor = addSafely([netMinor, taxMinor], 'total')
  const paidMinor = minorUnits(amounts.paidMinor, 'paid', { mayBeNegative: true })
  const roundingMinor = minorUnits(amounts.roundingMinor, 'rounding', { mayBeNegative: true })
  return {
    currency,
    lineNetsMinor,
    taxGroups: groups,
    sumOfLineNetsMinor,
    allowancesMinor,
    chargesMinor,
    netMinor,
    taxMinor,
    grossMinor,
    paidMinor,
    roundingMinor,
    dueMinor: addSafely([grossMinor, -paidMinor, roundingMinor], 'amount due'),
  }
}
