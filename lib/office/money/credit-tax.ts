/**
 * The tax of a credit note, by category and rate (or named tax): as reckoned on its own lines, and where it clears the last of a rate what is left of
 * the invoice's tax, so that invoice and credit notes come to nothing to the penny. Pure; minor units.
 *
 * EN 16931 BR-CO-17 reckons tax on the sum of the lines; its published rule file lets an amount differ by less than one unit of the currency.
 */
import { type AmountLine, type InvoiceTotals, invoiceTotals, type TaxGroup, taxGroupKey } from './totals'

type Group = Pick<TaxGroup, 'category' | 'ratePercent' | 'taxMinor'> & { name?: string | undefined }

/**
 * `invoice`: the tax groups that were charged; `others`: those of its other credit notes, drafts counted; `isCleared`: whether nothing
 * will be left of any line of a rate; `hasNegative`: whether the rate has lines that take something back, whose tax has no upper bound.
 */
export function creditTotals(given: {
  currency: string
  lines: readonly AmountLine[]
  invoice: readonly Group[]
  others: readonly (readonly Group[])[]
  isCleared: (key: string) => boolean
  hasNegative: (key: string) => boolean
}): InvoiceTotals {
  const own = invoiceTotals(given)
  const taxes = new Map<string, number>()
  for (const group of own.taxGroups) {
    const key = taxGroupKey(group)
    const charged = given.invoice.find((known) => taxGroupKey(known) === key)
    if (!charged) continue
    const taken = given.others.flat().filter((known) => taxGroupKey(known) === key)
    const left = taken.reduce((rest, { taxMinor }) => rest - taxMinor, charged.taxMinor)
    if (given.isCleared(key)) taxes.set(key, left)
    else if (!given.hasNegative(key)) taxes.set(key, Math.max(0, Math.min(group.taxMinor, left)))
  }
  return invoiceTotals({ ...given, taxes })
}
