import 'server-only'
import { newId } from '@/lib/new-id'
import type { Actor } from '../actor'
import { done, refused } from '../result'
import { totalColumns } from './draft-rows'
import { changeMoney, lockInvoice, type MoneyResult, noSuchInvoice } from './money-command'
import type { CreditInvoice } from './schema'
import { exactDecimal, readTaxCategory } from './tax'

/**
 * The draft of a credit note for some or all of an issued invoice's lines. Its amounts are positive, for it gives them
 * back; no line is credited twice, drafts counted. The draft's id is the command's.
 */
export function creditInvoice(actor: Actor, input: CreditInvoice): MoneyResult<{ invoiceId: string }> {
  return changeMoney(actor, { action: 'money.change', kind: 'invoice.credit' }, input, async (context) => {
    const { tx, commandId, audit } = context
    const { businessId } = actor
    const held = await lockInvoice(context, input.invoiceId)
    if (!held) return noSuchInvoice()
    if (held.state !== 'issued' || held.documentType !== 'invoice')
      return refused('does-not-fit', 'Only an issued invoice can be credited. A draft can simply be changed.')
    const invoice = await tx.invoice.findUniqueOrThrow({
      where: { businessId_id: { businessId, id: input.invoiceId } },
      include: {
        client: { select: { id: true, mergedIntoId: true } },
        invoiceLines: { orderBy: { position: 'asc' }, include: { creditedBy: { select: { quantity: true } } } },
      },
    })
    const wanted = new Map(input.lines.map((line) => [line.lineId, line.quantity]))
    const credited = invoice.invoiceLines.flatMap((line) => {
      const quantity = wanted.get(line.id)
      return quantity === undefined ? [] : [{ line, quantity: exactDecimal(quantity, 'quantity') }]
    })
    if (credited.length !== wanted.size) return noSuchInvoice()
    for (const { line, quantity } of credited) {
      const before = line.creditedBy.reduce(
        (sum, credit) => sum.plus(credit.quantity.abs().toFixed()),
        exactDecimal('0', ''),
      )
      const left = exactDecimal(line.quantity.abs().toFixed(), 'quantity').minus(before)
      if (quantity.greaterThan(left)) {
        const words = left.isZero() ? 'is already credited' : `has only ${left.toFixed()} left to credit`
        return refused('too-much', `“${line.description}” ${words}.`)
      }
    }
    const clientId = invoice.client.mergedIntoId ?? invoice.client.id
    const lines = credited.map(({ line, quantity }) => ({
      ...line,
      quantity: (line.quantity.isNegative() ? quantity.negated() : quantity).toFixed(),
      unitPrice: line.unitPrice.toFixed(),
      tax: {
        category: readTaxCategory(line.taxCategory),
        ratePercent: line.taxCategory === 'O' ? null : line.taxRate.toFixed(),
        exemptionReason: line.taxExemptionReason,
      },
      serviceStart: day(line.serviceStart),
      serviceEnd: day(line.serviceEnd),
    }))
    const dated = lines.filter((line) => line.serviceStart !== '' && line.serviceEnd !== '')
    const totals = totalColumns(invoice.currency, lines)
    const period = totalColumns(invoice.currency, dated)
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
      data: lines.map((line, index) => ({
        businessId,
        id: newId(),
        clientId,
        invoiceId: commandId,
        position: index + 1,
        description: line.description,
        placeName: line.placeName,
        quantity: line.quantity,
        unit: line.unit,
        unitPrice: line.unitPrice,
        netMinor: totals.lineNetsMinor[index] ?? 0,
        taxCategory: line.taxCategory,
        taxRate: line.taxRate,
        taxExemptionReason: line.taxExemptionReason,
        taxValidFrom: line.taxValidFrom,
        serviceStart: line.serviceStart === '' ? null : new Date(`${line.serviceStart}T00:00:00Z`),
        serviceEnd: line.serviceEnd === '' ? null : new Date(`${line.serviceEnd}T00:00:00Z`),
        purchaseOrder: line.purchaseOrder,
        tankId: line.tankId,
        creditsLineId: line.id,
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
  })
}

const day = (date: Date | null) => (date === null ? '' : date.toISOString().slice(0, 10))
