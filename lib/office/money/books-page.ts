import 'server-only'
import { z } from 'zod'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../actor'
import { asDay, asDbDate, dayIn } from '../clients/days'
import { type AccountantLine, accountantCsv } from './accountant-csv'
import { paymentStanding } from './payment-state'
import { creditsOf, documentOf, INVOICE_INCLUDE, paymentsOf, type StoredInvoice } from './stored-document'
import { readTaxCategory, TAX_CATEGORIES, TAX_CATEGORY_WORDS, type TaxCategory } from './tax'

/** Both days included. */
export type Period = { from: string; to: string }

export type TaxSum = {
  currency: string
  category: TaxCategory
  words: string
  ratePercent: string
  taxableMinor: number
  taxMinor: number
}

const taxGroups = z.array(
  z.object({
    category: z.enum(TAX_CATEGORIES),
    ratePercent: z.string(),
    taxableMinor: z.number(),
    taxMinor: z.number(),
  }),
)

/** What an accountant looks at: tax by category and rate, documents issued and money received in a period. */
export function booksPage(actor: Actor, asked: Partial<Period>) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const business = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    const today = dayIn(business.timeZone, new Date())
    const period = { from: asked.from ?? `${today.slice(0, 7)}-01`, to: asked.to ?? today }
    const rows = await readIssued(tx, businessId, period)
    const received = await tx.payment.findMany({
      where: { businessId, correctedBy: null, NOT: { amountMinor: 0 }, receivedOn: within(period) },
      include: { invoice: { select: { id: true, number: true, currency: true, buyer: true } } },
      orderBy: [{ receivedOn: 'asc' }, { id: 'asc' }],
    })
    return {
      businessId,
      businessName: business.name,
      locale: business.locale,
      currency: business.currency,
      today,
      period,
      taxSums: sumTax(rows),
      documents: rows.map((row) => documentRow(row, today)),
      payments: received.map((payment) => ({
        id: payment.id,
        receivedOn: asDay(payment.receivedOn),
        amountMinor: payment.amountMinor,
        method: payment.method,
        reference: payment.reference,
        invoiceId: payment.invoice.id,
        number: payment.invoice.number ?? '',
        currency: payment.invoice.currency,
        clientName: nameOf(payment.invoice.buyer),
      })),
    }
  })
}

/** The accountant's file of all documents issued in a period, one row for each line. */
export function accountantFile(actor: Actor, period: Period): Promise<string> {
  return inBusiness(actor, async (tx) => {
    const business = await tx.business.findUniqueOrThrow({ where: { id: actor.businessId } })
    const today = dayIn(business.timeZone, new Date())
    const rows = await readIssued(tx, actor.businessId, period)
    return accountantCsv(rows.flatMap((row) => accountantLines(row, today)))
  })
}

const within = ({ from, to }: Period) => ({ gte: asDbDate(from), lte: asDbDate(to) })

function readIssued(tx: Transaction, businessId: string, period: Period): Promise<StoredInvoice[]> {
  return tx.invoice.findMany({
    where: { businessId, state: 'issued', issuedOn: within(period) },
    include: INVOICE_INCLUDE,
    orderBy: [{ issuedOn: 'asc' }, { documentType: 'desc' }, { number: 'asc' }],
  })
}

const sign = (row: StoredInvoice) => (row.documentType === 'credit_note' ? -1 : 1)
const named = z.object({ name: z.string() })
const nameOf = (buyer: unknown) => named.safeParse(buyer).data?.name ?? ''

function sumTax(rows: readonly StoredInvoice[]): TaxSum[] {
  const sums = new Map<string, TaxSum>()
  for (const row of rows) {
    for (const { category, ratePercent, taxableMinor, taxMinor } of taxGroups.parse(row.taxBreakdown)) {
      const key = `${row.currency} ${TAX_CATEGORIES.indexOf(category)} ${ratePercent.padStart(8, '0')}`
      const empty = { taxableMinor: 0, taxMinor: 0, currency: row.currency, category, ratePercent }
      const sum = sums.get(key) ?? { ...empty, words: TAX_CATEGORY_WORDS[category] }
      sum.taxableMinor += sign(row) * taxableMinor
      sum.taxMinor += sign(row) * taxMinor
      sums.set(key, sum)
    }
  }
  return [...sums.entries()].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, sum]) => sum)
}

function standingOfRow(row: StoredInvoice, today: string) {
  const creditedMinor = creditsOf(row).reduce((sum, { amountMinor }) => sum + amountMinor, 0)
  return paymentStanding({ grossMinor: row.grossMinor, creditedMinor, dueOn: asDay(row.dueOn) }, paymentsOf(row), today)
}

function documentRow(row: StoredInvoice, today: string) {
  const isInvoice = row.documentType === 'invoice'
  const standing = standingOfRow(row, today)
  return {
    id: row.id,
    documentType: isInvoice ? ('invoice' as const) : ('credit_note' as const),
    number: row.number ?? '',
    issuedOn: asDay(row.issuedOn) ?? '',
    clientName: nameOf(row.buyer),
    currency: row.currency,
    netMinor: sign(row) * row.netMinor,
    taxMinor: sign(row) * row.taxMinor,
    grossMinor: sign(row) * row.grossMinor,
    outstandingMinor: isInvoice ? standing.outstandingMinor : 0,
    state: isInvoice ? standing.state : null,
    daysLate: isInvoice ? standing.daysLate : 0,
  }
}

function accountantLines(row: StoredInvoice, today: string): AccountantLine[] {
  const { document } = documentOf(row, today, { standing: false })
  const standing = standingOfRow(row, today)
  // A credit note pays nothing and owes nothing: it is settled with its invoice.
  const paid = row.documentType === 'credit_note' ? { ...standing, paidMinor: 0, state: 'paid' as const } : standing
  return row.invoiceLines.map((line) => ({
    documentNumber: row.number ?? '',
    documentType: document.documentType,
    creditsNumber: document.credits?.number ?? '',
    issueDate: asDay(row.issuedOn) ?? '',
    dueDate: asDay(row.dueOn) ?? '',
    clientName: document.buyer.name,
    clientTaxNumber: document.buyer.taxNumber,
    purchaseOrder: line.purchaseOrder || row.purchaseOrder,
    lineNumber: line.position,
    description: line.description,
    placeName: line.placeName,
    serviceStart: asDay(line.serviceStart) ?? '',
    serviceEnd: asDay(line.serviceEnd) ?? '',
    quantity: line.quantity.toFixed(),
    unit: line.unit,
    unitPrice: line.unitPrice.toFixed(),
    netMinor: line.netMinor,
    taxCategory: readTaxCategory(line.taxCategory),
    ratePercent: line.taxRate.toFixed(),
    exemptionReason: line.taxExemptionReason,
    currency: row.currency,
    documentNetMinor: row.netMinor,
    documentTaxMinor: row.taxMinor,
    documentGrossMinor: row.grossMinor,
    documentPaidMinor: paid.paidMinor,
    paymentState: paid.state,
    lastPaidDate: paid.lastPaidOn ?? '',
  }))
}
