import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { asDay } from '../frame/days'
import { issuesOf } from './issue-commands'
import { lineSinceLast, readLastInvoices } from './last-invoices'
import { amountInWords } from './paper-manner'
import { ISSUED_AT_ONCE } from './schema'
import { type ChangeSinceLast, changeSinceLast, type LastInvoice } from './since-last-invoice'
import { INVOICE_INCLUDE, type StoredInvoice } from './stored-document'
import { readStale } from './take-new-figures'

const DRAFTS_PER_PAGE = 50

type ListedDraft = {
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
  /** The records say otherwise by now. */
  isStale: boolean
  /** What is different from this client's last invoice; null for the first one, and for a credit note. */
  sinceLast: ChangeSinceLast | null
}

/**
 * A page of drafts, oldest first, with what stands in the way of each and what is different from last time; and those of all pages that
 * can be issued as they are.
 */
export async function draftsPage(
  tx: Transaction,
  { id: businessId, currency, locale }: { id: string; currency: string; locale: string },
  { today, page }: { today: string; page: number },
) {
  const where = { businessId, state: 'draft' }
  const oldestFirst = { include: INVOICE_INCLUDE, orderBy: [{ createdAt: 'asc' as const }, { id: 'asc' as const }] }
  const rows: StoredInvoice[] = await tx.invoice.findMany({
    ...{ where, ...oldestFirst },
    ...{ skip: (page - 1) * DRAFTS_PER_PAGE, take: DRAFTS_PER_PAGE },
  })
  const total = await tx.invoice.count({ where })
  const onAllPages: StoredInvoice[] =
    total === rows.length
      ? rows
      : await tx.invoice.findMany({
          where: { ...where, documentType: 'invoice' },
          ...oldestFirst,
          take: ISSUED_AT_ONCE,
        })
  const stale = await readStale(tx, businessId, [
    ...new Map([...rows, ...onAllPages].map((row) => [row.id, row])).values(),
  ])
  const last = await readLastInvoices(tx, businessId, [...new Set(rows.map(({ clientId }) => clientId))])
  const amount = (minor: number) => amountInWords(minor, currency, locale)
  const besides = (row: StoredInvoice) => ({ isStale: stale.has(row.id), last: last.get(row.clientId) ?? null })
  return {
    drafts: rows.map((row) => listed(row, today, amount, besides(row))),
    ready: onAllPages.flatMap((row) => (isReady(row, today) && !stale.has(row.id) ? [ready(row)] : [])),
    page,
    perPage: DRAFTS_PER_PAGE,
    total,
  }
}

const blockingOf = (row: StoredInvoice, today: string) =>
  issuesOf(row, today).flatMap(({ blocking, message }) => (blocking ? [message] : []))

const isReady = (row: StoredInvoice, today: string) =>
  row.documentType === 'invoice' && blockingOf(row, today).length === 0

const ready = ({ id, client, currency, grossMinor }: StoredInvoice) => ({
  ...{ id, clientName: client.name, currency, grossMinor },
})

function listed(
  row: StoredInvoice,
  today: string,
  amount: (minor: number) => string,
  { isStale, last }: { isStale: boolean; last: LastInvoice | null },
): ListedDraft {
  return {
    id: row.id,
    documentType: row.documentType === 'credit_note' ? 'credit_note' : 'invoice',
    clientName: row.client.name,
    serviceStart: asDay(row.serviceStart),
    serviceEnd: asDay(row.serviceEnd),
    currency: row.currency,
    grossMinor: row.documentType === 'credit_note' ? -row.grossMinor : row.grossMinor,
    lines: row.invoiceLines.length,
    blocking: blockingOf(row, today),
    isStale,
    sinceLast:
      row.documentType === 'credit_note' ? null : changeSinceLast(row.invoiceLines.map(lineSinceLast), last, amount),
  }
}
