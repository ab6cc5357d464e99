import 'server-only'
import { invoicePdf, unprintableLetters } from '@/lib/platform/pdf/invoice-pdf'
import { type Actor, inBusiness } from '../actor'
import { asDay, dayIn } from '../clients/days'
import { minorToDecimalText } from './currency'
import { issuesOf } from './issue-commands'
import { standingOf } from './payment-commands'
import type { ListedPrice } from './price-at'
import { readPriceList } from './price-list'
import { invoiceView } from './projection'
import { documentOf, readInvoice, type StoredInvoice } from './stored-document'
import { type DecimalInput, exactDecimal, readTaxCategory } from './tax'

/** All of one invoice's page: as paper, and what can be done with it. Null when this actor has none by that id. */
export async function invoicePage(actor: Actor, invoiceId: string) {
  const read = await inBusiness(actor, async (tx) => {
    const row = await readInvoice(tx, actor.businessId, invoiceId)
    if (!row) return null
    const prices = row.state === 'draft' ? await readPriceList(tx, actor.businessId) : []
    const lineIds = row.invoiceLines.map(({ id }) => id)
    const credits = await tx.invoiceLine.findMany({
      where: { businessId: actor.businessId, creditsLineId: { in: lineIds } },
      select: { creditsLineId: true, quantity: true, invoice: { select: { id: true, state: true } } },
    })
    return { row, prices, credits }
  })
  if (!read) return null
  const { row, prices, credits } = read
  const today = dayIn(row.business.timeZone, new Date())
  const { document, style } = documentOf(row, today, { standing: true })
  const view = invoiceView(document, style)
  const standing = standingOf(row, today)
  const letters = row.state === 'draft' ? await unprintableLetters(view) : []
  return {
    id: row.id,
    businessId: row.businessId,
    state: row.state === 'issued' ? ('issued' as const) : ('draft' as const),
    documentType: document.documentType,
    clientId: row.clientId,
    clientName: document.buyer.name,
    today,
    currency: row.currency,
    locale: style.locale,
    grossMinor: row.grossMinor,
    purchaseOrder: row.purchaseOrder,
    note: row.note,
    view,
    issues: row.state === 'draft' ? [...issuesOf(row, today), ...letterIssues(letters)] : [],
    lines: row.invoiceLines.map((line) => lineOf(line, credits)),
    prices: prices
      .filter(({ validFrom }) => validFrom <= today)
      .map(({ id, name, unit, unitPrice, tax }) => ({
        id,
        name,
        unit,
        unitPrice: textOf(unitPrice),
        ...taxFields(tax),
      })),
    defaultTax: {
      taxCategory: readTaxCategory(row.business.defaultTaxCategory),
      taxRate: row.business.defaultTaxRate.toFixed(),
    },
    standing,
    /** What is still owed, as a person would type it. */
    outstandingText: standing.outstandingMinor > 0 ? minorToDecimalText(standing.outstandingMinor, row.currency) : '',
    payments: row.payments.map((payment) => ({
      id: payment.id,
      receivedOn: asDay(payment.receivedOn),
      amountMinor: payment.amountMinor,
      amount: minorToDecimalText(payment.amountMinor, row.currency),
      method: payment.method,
      reference: payment.reference,
      isCorrection: payment.correctsId !== null,
    })),
    creditNotes: row.creditNotes.map(({ id, number, grossMinor }) => ({ id, number: number ?? '', grossMinor })),
    creditDraftId: credits.find(({ invoice }) => invoice.state === 'draft')?.invoice.id ?? null,
    credits: row.correctsInvoice ? { id: row.correctsInvoice.id, number: row.correctsInvoice.number ?? '' } : null,
  }
}

export type InvoicePage = NonNullable<Awaited<ReturnType<typeof invoicePage>>>

/**
 * The PDF of an invoice, credit note or draft and what to call the file; null when this actor sees none by that id. As it
 * was issued; with `standing`, as it stands after payments and credit notes. The same rows give the same bytes.
 */
export async function invoiceFile(actor: Actor, invoiceId: string, { standing }: { standing: boolean }) {
  const row = await inBusiness(actor, (tx) => readInvoice(tx, actor.businessId, invoiceId))
  if (!row) return null
  const today = dayIn(row.business.timeZone, new Date())
  const { document, style } = documentOf(row, today, { standing })
  const kind = document.documentType === 'invoice' ? 'invoice' : 'credit-note'
  const name = `${kind}-${document.number ?? 'draft'}`.toLowerCase().replace(/[^a-z0-9-]+/g, '-')
  return { fileName: `${name}.pdf`, bytes: await invoicePdf(invoiceView(document, style)) }
}

function letterIssues(letters: readonly string[]) {
  if (letters.length === 0) return []
  const message = `The paper cannot print ${letters.map((letter) => `“${letter}”`).join(', ')}. Write it in other letters.`
  return [{ code: 'unprintable-letters', blocking: false, message }]
}

const textOf = (value: DecimalInput) => exactDecimal(value, 'price').toFixed()

function taxFields({ category, ratePercent, exemptionReason }: ListedPrice['tax']) {
  return { taxCategory: category, taxRate: textOf(ratePercent), taxExemptionReason: exemptionReason }
}

type Credit = { creditsLineId: string | null; quantity: StoredInvoice['invoiceLines'][number]['quantity'] }

function lineOf(line: StoredInvoice['invoiceLines'][number], credits: readonly Credit[]) {
  const credited = credits.filter(({ creditsLineId }) => creditsLineId === line.id)
  const left = credited.reduce(
    (rest, credit) => rest.minus(credit.quantity.abs().toFixed()),
    exactDecimal(line.quantity.abs().toFixed(), 'quantity'),
  )
  return {
    id: line.id,
    description: line.description,
    placeName: line.placeName,
    quantity: line.quantity.toFixed(),
    unit: line.unit,
    unitPrice: line.unitPrice.toFixed(),
    taxCategory: readTaxCategory(line.taxCategory),
    taxRate: line.taxRate.toFixed(),
    taxExemptionReason: line.taxExemptionReason,
    serviceStart: asDay(line.serviceStart) ?? '',
    serviceEnd: asDay(line.serviceEnd) ?? '',
    netMinor: line.netMinor,
    /** How much of the quantity is not credited yet, drafts counted. */
    creditable: left.toFixed(),
    billsWork: line.visitId !== null || line.partUsedId !== null || line.agreementId !== null,
  }
}
