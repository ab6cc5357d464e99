import 'server-only'
import { newId } from '@/lib/new-id'
import { defineCommand } from '../frame/command'
import { done, refused } from '../frame/result'
import { type CreditEffect, type CreditedLine, leftOfLine } from './credit-lines'
import { type CreditedInvoice, creditable, creditedLine, creditReckoning, readCredited } from './credit-state'
import { amountTextToMinor, minorToDecimalText } from './currency'
import { totalColumns } from './draft-rows'
import { lockInvoice, MONEY, noSuchInvoice } from './money-command'
import { creditInvoiceSchema } from './schema'
import { taxOfLine } from './stored-document'
import type { TaxTreatment } from './tax'
import { unitColumns } from './units'

/**
 * The draft of a credit note for some or all of an issued invoice's lines. Its amounts are positive, for it gives them
 * back; nothing is credited twice, drafts counted. Each line says whether its work is billed again. The draft's id is the command's.
 */
export const creditInvoice = defineCommand(
  { ...MONEY, kind: 'invoice.credit', schema: creditInvoiceSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const { businessId } = actor
    const held = await lockInvoice(context, input.invoiceId)
    if (!held) return noSuchInvoice()
    if (held.state !== 'issued' || held.documentType !== 'invoice')
      return refused('does-not-fit', 'Only an issued invoice can be credited. A draft can simply be changed.')
    const invoice = await readCredited(context, input.invoiceId)
    const { currency } = invoice
    const lines: CreditDraftLine[] = []
    for (const asked of input.lines) {
      const line = invoice.invoiceLines.find(({ id }) => id === asked.lineId)
      if (!line || lines.some(({ creditsLineId }) => creditsLineId === line.id)) return noSuchInvoice()
      const amountMinor = asked.amount === undefined ? null : amountTextToMinor(asked.amount, currency)
      if (asked.amount !== undefined && amountMinor === null)
        return refused('does-not-fit', `Write the amount of “${line.description}” in ${currency}, for example 297.36.`)
      const wanted = amountMinor === null ? { quantity: asked.quantity ?? '0' } : { amountMinor }
      const credited = creditedLine(invoice, line, wanted)
      if (!credited) return refused('too-much', `“${line.description}” ${leftInWords(line, currency)}.`)
      const tax = taxOfLine(line)
      const days = { serviceStart: day(line.serviceStart), serviceEnd: day(line.serviceEnd) }
      lines.push({ line, ...credited, tax, ...days, creditsLineId: line.id, effect: asked.effect })
    }
    const clientId = invoice.client.mergedIntoId ?? invoice.client.id
    const dated = lines.filter((line) => line.serviceStart !== '' && line.serviceEnd !== '')
    const totals = totalColumns(currency, lines, creditReckoning(invoice, lines))
    const period = totalColumns(currency, dated)
    if (!totals || !period) throw new RangeError(`lines of ${invoice.number} do not add up to an amount`)
    await tx.invoice.create({
      data: {
        businessId,
        id: commandId,
        clientId,
        documentType: 'credit_note',
        currency: invoice.currency,
        purchaseOrder: invoice.purchaseOrder,
        note: input.reason,
        correctsInvoiceId: invoice.id,
        ...totals.columns,
        serviceStart: period.columns.serviceStart,
        serviceEnd: period.columns.serviceEnd,
      },
    })
    await tx.invoiceLine.createMany({
      data: lines.map(({ line, ...credited }, index) => ({
        businessId,
        id: newId(),
        clientId,
        invoiceId: commandId,
        position: index + 1,
        description: line.description,
        placeName: line.placeName,
        quantity: credited.quantity,
        // An amount is a line of one, whatever the unit of what it takes back.
        ...(credited.unit === line.unit ? { unit: line.unit, unitCode: line.unitCode } : unitColumns(credited.unit)),
        unitPrice: credited.unitPrice,
        netMinor: totals.lineNetsMinor[index] ?? 0,
        taxCategory: line.taxCategory,
        taxRate: line.taxRate,
        taxExemptionReason: line.taxExemptionReason,
        taxParts: [...(credited.tax.parts ?? [])],
        taxValidFrom: line.taxValidFrom,
        serviceStart: line.serviceStart,
        serviceEnd: line.serviceEnd,
        purchaseOrder: line.purchaseOrder,
        tankId: line.tankId,
        creditsLineId: line.id,
        creditEffect: credited.effect,
      })),
    })
    await audit(
      'invoice',
      commandId,
      'credit',
      { invoiceId: invoice.id, number: invoice.number },
      { lines: input.lines },
    )
    return done({ invoiceId: commandId })
  },
)

type InvoicedLine = CreditedInvoice['invoiceLines'][number]
type CreditDraftLine = CreditedLine & {
  line: InvoicedLine
  tax: TaxTreatment
  serviceStart: string
  serviceEnd: string
  creditsLineId: string
  effect: CreditEffect
}

function leftInWords(line: InvoicedLine, currency: string): string {
  const { leftMinor, leftQuantity } = leftOfLine(creditable(line, currency))
  if (leftMinor === 0 && leftQuantity.isZero()) return 'is already credited'
  return `has only ${leftQuantity.toFixed()} and ${minorToDecimalText(leftMinor, currency)} ${currency} left to credit`
}

const day = (date: Date | null) => (date === null ? '' : date.toISOString().slice(0, 10))
