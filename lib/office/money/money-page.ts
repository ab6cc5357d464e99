import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../actor'
import { asDay, dayIn } from '../clients/days'
import { type DraftProposal, proposeDrafts } from './draft-lines'
import { type InvoiceFilter, listInvoices, sumInvoices } from './invoice-list'
import { issuesOf } from './issue-commands'
import { monthOf } from './months'
import { INVOICE_INCLUDE, type StoredInvoice } from './stored-document'
import { lineNetMinor } from './totals'
import { type BillingWindow, readUnbilled } from './unbilled'

const DRAFTS_SHOWN = 100

/** Unbilled work of one payer, currency and order, as the drafts would have it. Net, for drafts may still lack a tax. */
export type UnbilledGroup = {
  payerId: string
  payerName: string
  purchaseOrder: string | null
  currency: string
  netMinor: number
  lines: { description: string; placeName: string; netMinor: number }[]
  problems: { message: string; blocking: boolean }[]
}

export type ListedDraft = {
  id: string
  documentType: 'invoice' | 'credit_note'
  clientName: string
  serviceStart: string | null
  serviceEnd: string | null
  currency: string
  grossMinor: number
  lines: number
  /** What stands in the way, in words; empty when it can be issued. */
  blocking: string[]
}

type Asked = Partial<BillingWindow> & { filter: InvoiceFilter; search: string; page: number }

/** All of the owner's Money page: unbilled work, drafts, what is owed, and a page of issued documents. */
export function moneyPage(actor: Actor, asked: Asked) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const business = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    const { currency, locale, timeZone } = business
    const today = dayIn(timeZone, new Date())
    const through = asked.through ?? monthOf(today)
    const { since, filter, search, page } = asked
    const unbilled = await unbilledGroups(tx, businessId, { through, since })
    const drafts = await readDrafts(tx, businessId, today)
    const sums = await sumInvoices(tx, businessId, currency, today)
    const { invoices, total } = await listInvoices(tx, businessId, { filter, search, today, page })
    const clients = await tx.client.findMany({
      where: { businessId, archivedAt: null, mergedIntoId: null },
      select: { id: true, name: true },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    })
    return { businessId, currency, locale, today, through, unbilled, drafts, sums, invoices, total, clients }
  })
}

/** What `makeDrafts` would write now, without writing it. */
export function proposeUnbilled(actor: Actor, window: BillingWindow): Promise<DraftProposal[]> {
  return inBusiness(actor, async (tx) => proposeDrafts(await readUnbilled(tx, actor.businessId, window)))
}

async function unbilledGroups(tx: Transaction, businessId: string, window: BillingWindow): Promise<UnbilledGroup[]> {
  const work = await readUnbilled(tx, businessId, window)
  const names = new Map(work.payers.map(({ id, name }) => [id, name]))
  const groups = proposeDrafts(work).map(({ payerId, purchaseOrder, currency, lines, problems }) => {
    const priced = lines.map((line) => ({
      description: line.description,
      placeName: line.placeName,
      netMinor: lineNetMinor({ ...line, tax: line.tax ?? { category: 'Z', ratePercent: '0' } }, currency),
    }))
    const netMinor = priced.reduce((sum, line) => sum + line.netMinor, 0)
    const payerName = names.get(payerId) ?? ''
    return { payerId, payerName, purchaseOrder, currency, netMinor, lines: priced, problems }
  })
  return groups.sort((a, b) => a.payerName.localeCompare(b.payerName, 'en') || (a.payerId < b.payerId ? -1 : 1))
}

async function readDrafts(tx: Transaction, businessId: string, today: string): Promise<ListedDraft[]> {
  const rows: StoredInvoice[] = await tx.invoice.findMany({
    where: { businessId, state: 'draft' },
    include: INVOICE_INCLUDE,
    orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
    take: DRAFTS_SHOWN,
  })
  return rows.map((row) => ({
    id: row.id,
    documentType: row.documentType === 'credit_note' ? 'credit_note' : 'invoice',
    clientName: row.client.name,
    serviceStart: asDay(row.serviceStart),
    serviceEnd: asDay(row.serviceEnd),
    currency: row.currency,
    grossMinor: row.documentType === 'credit_note' ? -row.grossMinor : row.grossMinor,
    lines: row.invoiceLines.length,
    blocking: issuesOf(row, today).flatMap(({ blocking, message }) => (blocking ? [message] : [])),
  }))
}
