// The official example documents of Peppol BIS Billing 3.0 (OpenPEPPOL/peppol-bis-invoice-3, rules/examples, release
// 2026.5), recomputed from their lines and compared with the totals printed in them. What they take off or put on, of a line or the whole, is a line of
// its own with us, in the same tax group.
import Decimal from 'decimal.js'
import { expect, test } from 'vitest'
import type { TaxTreatment } from '@/lib/office/money/tax'
import { type AmountLine, invoiceTotals } from '@/lib/office/money/totals'
import { PEPPOL_EXAMPLES } from '../../reference/peppol-examples'

test('an invoice, a credit note, one with allowances and charges, one outside the scope of VAT', () => {
  expect(Object.keys(PEPPOL_EXAMPLES)).toHaveLength(4)
})

/** A hundred minor units, as euros and Swedish kronor have. */
const sumAsLine = (minor: number, tax: TaxTreatment): AmountLine => ({
  quantity: minor < 0 ? '-1' : '1',
  unitPrice: new Decimal(Math.abs(minor)).dividedBy(100),
  tax,
})

test.each(Object.entries(PEPPOL_EXAMPLES))('%s: our totals are the printed ones', (_, example) => {
  const { currency, lines, adjustments, printed } = example
  expect(['EUR', 'SEK']).toContain(currency) // both have a hundred minor units
  expect(lines.length).toBeGreaterThan(0)
  const ofEachLine = lines.map(({ quantity, unitPrice, baseQuantity, allowanceMinor, chargeMinor, tax }) => [
    { quantity, unitPrice: new Decimal(unitPrice).dividedBy(baseQuantity), tax },
    sumAsLine(-allowanceMinor, tax),
    sumAsLine(chargeMinor, tax),
  ])
  expect(ofEachLine.map((parts) => invoiceTotals({ currency, lines: parts }).netMinor)).toEqual(
    lines.map(({ printedNetMinor }) => printedNetMinor),
  )
  const ofTheWhole = adjustments.map(({ kind, amountMinor, tax }) =>
    sumAsLine(kind === 'charge' ? amountMinor : -amountMinor, tax),
  )
  const totals = invoiceTotals({ currency, lines: [...ofEachLine.flat(), ...ofTheWhole] })
  expect(totals.netMinor).toBe(printed.netMinor)
  expect(totals.taxMinor).toBe(printed.taxMinor)
  expect(totals.grossMinor).toBe(printed.grossMinor)
  expect(totals.grossMinor - printed.paidMinor).toBe(printed.dueMinor)
  expect(
    totals.taxGroups.map(({ category, taxableMinor, taxMinor }) => ({ category, taxableMinor, taxMinor })),
  ).toEqual(printed.taxGroups)
})
