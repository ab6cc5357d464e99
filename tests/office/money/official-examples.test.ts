// The official example documents of Peppol BIS Billing 3.0 (OpenPEPPOL/peppol-bis-invoice-3, rules/examples, release
// 2026.5), recomputed from their lines and compared with the totals printed in them.
import { existsSync, readFileSync } from 'node:fs'
import path from 'node:path'
import { expect, test } from 'vitest'
import { TAX_CATEGORIES, type TaxCategory, type TaxTreatment } from '@/lib/office/money/tax'
import { type AmountLine, type DocumentAdjustment, invoiceTotals } from '@/lib/office/money/totals'

const folder = path.resolve(import.meta.dirname, '../../../../shared/reference/einvoice/examples')

const blocks = (xml: string, tag: string) =>
  [...xml.matchAll(new RegExp(`<cac:${tag}>([\\s\\S]*?)</cac:${tag}>`, 'g'))].map((m) => m[1] ?? '')
const without = (xml: string, tag: string) => xml.replace(new RegExp(`<cac:${tag}>[\\s\\S]*?</cac:${tag}>`, 'g'), '')
const value = (xml: string, tag: string) =>
  new RegExp(`<cbc:${tag}(?: [^>]*)?>([^<]*)</cbc:${tag}>`).exec(xml)?.[1]?.trim()
const cents = (text: string | undefined) => Math.round(Number(text ?? '0') * 100)

function treatment(xml: string): TaxTreatment {
  const category = TAX_CATEGORIES.find((code): code is TaxCategory => code === value(xml, 'ID'))
  if (!category) throw new Error(`no tax category in ${xml}`)
  return { category, ratePercent: value(xml, 'Percent') ?? null }
}

const isCharge = (xml: string) => value(xml, 'ChargeIndicator') === 'true'

function readLine(xml: string): AmountLine {
  const price = without(blocks(xml, 'Price')[0] ?? '', 'AllowanceCharge')
  const adjustments = blocks(without(xml, 'Price'), 'AllowanceCharge')
  const sum = (charge: boolean) =>
    adjustments
      .filter((entry) => isCharge(entry) === charge)
      .reduce((total, entry) => total + cents(value(entry, 'Amount')), 0)
  return {
    quantity: value(xml, 'InvoicedQuantity') ?? value(xml, 'CreditedQuantity') ?? '',
    unitPrice: value(price, 'PriceAmount') ?? '',
    baseQuantity: value(price, 'BaseQuantity') ?? '1',
    allowanceMinor: sum(false),
    chargeMinor: sum(true),
    tax: treatment(blocks(xml, 'ClassifiedTaxCategory')[0] ?? ''),
  }
}

const files = ['Allowance-example.xml', 'base-creditnote-correction.xml', 'base-example.xml', 'vat-category-O.xml']

for (const file of files) {
  const found = existsSync(path.join(folder, file))
  test.skipIf(!found)(
    `${file}: our totals are the printed ones${found ? '' : ' (skipped: the reference folder is not here)'}`,
    () => {
      const xml = readFileSync(path.join(folder, file), 'utf8')
      const lineTag = xml.includes('<cac:InvoiceLine>') ? 'InvoiceLine' : 'CreditNoteLine'
      const lineBlocks = blocks(xml, lineTag)
      const head = without(xml, lineTag)
      const printed = blocks(head, 'LegalMonetaryTotal')[0] ?? ''
      const adjustments: DocumentAdjustment[] = blocks(head, 'AllowanceCharge').map((entry) => ({
        kind: isCharge(entry) ? 'charge' : 'allowance',
        amountMinor: cents(value(entry, 'Amount')),
        tax: treatment(blocks(entry, 'TaxCategory')[0] ?? ''),
      }))
      const totals = invoiceTotals({
        currency: value(xml, 'DocumentCurrencyCode') ?? '',
        lines: lineBlocks.map(readLine),
        adjustments,
        paidMinor: cents(value(printed, 'PrepaidAmount')),
      })

      expect(totals.lineNetsMinor.length).toBeGreaterThan(0)
      expect(totals.lineNetsMinor).toEqual(lineBlocks.map((block) => cents(value(block, 'LineExtensionAmount'))))
      expect(totals.sumOfLineNetsMinor).toBe(cents(value(printed, 'LineExtensionAmount')))
      expect(totals.allowancesMinor).toBe(cents(value(printed, 'AllowanceTotalAmount')))
      expect(totals.chargesMinor).toBe(cents(value(printed, 'ChargeTotalAmount')))
      expect(totals.netMinor).toBe(cents(value(printed, 'TaxExclusiveAmount')))
      expect(totals.grossMinor).toBe(cents(value(printed, 'TaxInclusiveAmount')))
      expect(totals.dueMinor).toBe(cents(value(printed, 'PayableAmount')))
      expect(totals.taxMinor).toBe(cents(value(head, 'TaxAmount')))

      const printedGroups = blocks(head, 'TaxSubtotal').map((group) => ({
        category: value(blocks(group, 'TaxCategory')[0] ?? '', 'ID'),
        taxableMinor: cents(value(group, 'TaxableAmount')),
        taxMinor: cents(value(group, 'TaxAmount')),
      }))
      expect(
        totals.taxGroups.map(({ category, taxableMinor, taxMinor }) => ({ category, taxableMinor, taxMinor })),
      ).toEqual(printedGroups)
    },
  )
}
