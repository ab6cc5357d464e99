import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { invoicePdf, unprintableLetters } from '@/lib/platform/pdf/invoice-pdf'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay, dayIn } from '../frame/days'
import { newestChange } from './changed-meanwhile'
import { type DraftIssue, letterIssues } from './check-draft'
import { leftOfLine } from './credit-lines'
import { creditable } from './credit-state'
import { minorToDecimalText } from './currency'
import { issuesOf } from './issue-commands'
import { readUnallocated } from './ledger'
import { readLogo } from './logo-file'
import { standingOf } from './payment-standing'
import type { ListedPrice } from './price-at'
import { readPriceList } from './price-list'
import { invoiceView } from './projection'
import { documentOf, readInvoice, type StoredInvoice } from './stored-document'
import { readDraftChanges } from './take-new-figures'
import { type DecimalInput, exactDecimal, readTaxCategory, usualReason } from './tax'
import { storedTaxParts, taxPartsText } from './tax-parts'

/** All of one invoice's page: as paper, and what can be done with it. Null when this actor has none by that id. */
export async function invoicePage(actor: Actor, invoiceId: string) {
  const read = await inBusiness(actor, async (tx) => {
    const row = await readInvoice(tx, actor.businessId, invoiceId)
    if (!row) return null
    const prices = row.state === 'draft' ? await readPriceList(tx, actor.businessId) : []
    const lineIds = row.invoiceLines.map(({ id }) => id)
    const credits = await tx.invoiceLine.findMany({
      where: { businessId: actor.businessId, creditsLineId: { in: lineIds } },
      select: {
        ...{ creditsLineId: true, quantity: true, unitPrice: true, netMinor: true },
        invoice: { select: { id: true, state: true } },
      },
    })
    const settled = await tx.allocation.findMany({
      where: { businessId: actor.businessId, invoiceId },
      include: { payment: { include: { correctedBy: { select: { id: true } } } } },
      orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
    })
    const ofRecords = await readDraftChanges(tx, row)
    const ownTax = row.state === 'draft' ? await ownTaxOf(tx, row) : null
    const newest = row.state === 'draft' ? await newestChange(tx, actor.businessId, invoiceId) : null
    const anew = row.state === 'draft' ? await newestChange(tx, actor.businessId, invoiceId, 'new-figures') : null
    const inHandMinor = row.state === 'issued' ? await inHandOf(tx, row) : 0
    return {
      row,
      prices,
      credits,
      settled,
      ...ofRecords,
      ownTax,
      inHandMinor,
      seen: newest?.id ?? '',
      writtenAnew: anew?.id ?? '',
    }
  })
  if (!read) return null
  const { row, prices, credits, settled, changes, partMonths, ownTax, inHandMinor, seen, writtenAnew } = read
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
    clientId: row.client.mergedIntoId ?? row.clientId,
    clientName: document.buyer.name,
    today,
    currency: row.currency,
    locale: style.locale,
    grossMinor: row.grossMinor,
    purchaseOrder: row.purchaseOrder,
    note: row.note,
    /** Its newest change, so that two people do not write over each other. */
    seen,
    /** The newest change by which its lines were written anew from the records: a form of other lines is not this draft's any more. */
    writtenAnew,
    view,
    issues:
      row.state === 'draft' ? [...issuesOf(row, today), ...letterIssues(letters), ...partMonths.map(worthALook)] : [],
    /** What the records say otherwise by now than this draft. */
    changes,
    lines: row.invoiceLines.map((line) => lineOf(line, row.currency, credits)),
    prices: prices
      .filter(({ validFrom }) => validFrom <= today)
      .map(({ id, name, unit, unitPrice, tax }) => ({
        id,
        name,
        unit,
        unitPrice: textOf(unitPrice),
        ...taxFields(ownTax === null ? tax : taxOfCategory(ownTax)),
      })),
    /** Of a line that the price list does not know. */
    defaultTax: {
      taxCategory: readTaxCategory(ownTax ?? row.business.defaultTaxCategory),
      taxRate: row.business.defaultTaxRate.toFixed(),
      taxParts: taxPartsText(storedTaxParts(row.business.defaultTaxParts)),
    },
    standing,
    /** What is still owed, as a person would type it; with a minus what was paid too much, and can go back. */
    outstandingText: standing.outstandingMinor === 0 ? '' : minorToDecimalText(standing.outstandingMinor, row.currency),
    /** Payments of the client that settle nothing yet. */
    inHandMinor,
    payments: settled.map(settledRow),
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
  const logo = await readLogo(row.businessId, document.seller.logo)
  return { fileName: `${name}.pdf`, bytes: await invoicePdf(invoiceView(document, style), logo) }
}

type Settled = Prisma.AllocationGetPayload<{
  include: { payment: { include: { correctedBy: { select: { id: true } } } } }
}>

/** What settled the invoice; what a corrected payment settled stays to be seen. */
function settledRow({ id, amountMinor, movedOn, payment }: Settled) {
  return {
    id,
    /** Null where credit was moved. */
    paymentId: payment?.id ?? null,
    receivedOn: asDay(payment?.receivedOn ?? movedOn) ?? '',
    amountMinor,
    method: payment?.method ?? '',
    reference: payment?.reference ?? '',
    isCorrection: Boolean(payment?.correctsId),
    isCorrected: Boolean(payment?.correctedBy),
  }
}

const worthALook = (message: string): DraftIssue => ({ code: 'part-month', blocking: false, message })

const textOf = (value: DecimalInput) => exactDecimal(value, 'price').toFixed()

/** How a client is taxed where that is not as the price list says; the client itself may not read it. */
async function ownTaxOf(tx: Transaction, { businessId, client, clientId }: StoredInvoice): Promise<string | null> {
  const where = { businessId, clientId: client.mergedIntoId ?? clientId }
  return (await tx.clientPrivate.findFirst({ where, select: { taxCategory: true } }))?.taxCategory ?? null
}

async function inHandOf(tx: Transaction, { businessId, client, clientId, currency }: StoredInvoice): Promise<number> {
  const keptId = client.mergedIntoId ?? clientId
  const merged = await tx.client.findMany({ where: { businessId, mergedIntoId: keptId }, select: { id: true } })
  return readUnallocated(tx, businessId, [keptId, ...merged.map(({ id }) => id)], currency)
}

/** A client's own tax instead of what the price list says. */
function taxOfCategory(stored: string): ListedPrice['tax'] {
  const category = readTaxCategory(stored)
  return { category, ratePercent: '0', exemptionReason: usualReason(category), parts: [] }
}

function taxFields({ category, ratePercent, exemptionReason, parts }: ListedPrice['tax']) {
  return {
    taxCategory: category,
    taxRate: textOf(ratePercent),
    taxExemptionReason: exemptionReason,
    taxParts: taxPartsText(parts),
  }
}

type StoredLine = StoredInvoice['invoiceLines'][number]
type Credit = Pick<StoredLine, 'creditsLineId' | 'quantity' | 'unitPrice' | 'netMinor'>

function lineOf(line: StoredLine, currency: string, credits: readonly Credit[]) {
  const credited = credits.filter(({ creditsLineId }) => creditsLineId === line.id)
  const left = leftOfLine(creditable({ ...line, creditedBy: credited }, currency))
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
    taxParts: taxPartsText(storedTaxParts(line.taxParts)),
    serviceStart: asDay(line.serviceStart) ?? '',
    serviceEnd: asDay(line.serviceEnd) ?? '',
    netMinor: line.netMinor,
    /** How much of the quantity, and of the money, is not credited yet; drafts counted. */
    creditable: left.leftQuantity.toFixed(),
    creditableText: minorToDecimalText(left.leftMinor, currency),
    creditEffect: line.creditEffect,
    billsWork: line.visitId !== null || line.partUsedId !== null || line.agreementId !== null,
  }
}
