import 'server-only'
import { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Balance, BY_NOW, documentStandings, readBalance, standingPayments } from './ledger'
import { type PaymentState, paymentState } from './payment-state'

export const INVOICES_PER_PAGE = 50

/** Which issued documents are listed. */
export const INVOICE_FILTERS = ['all', 'open', 'late', 'paid', 'credited', 'credit'] as const
export type InvoiceFilter = (typeof INVOICE_FILTERS)[number]

export type ListedInvoice = {
  id: string
  number: string
  documentType: 'invoice' | 'credit_note'
  clientName: string
  issuedOn: string
  dueOn: string | null
  currency: string
  grossMinor: number
  paidMinor: number
  outstandingMinor: number
  /** Null for a credit note, which is settled with its invoice. */
  state: PaymentState | null
  daysLate: number
}

const isInvoice = Prisma.sql`document_type = 'invoice'`

function condition(filter: InvoiceFilter, today: string): Prisma.Sql {
  if (filter === 'open') return Prisma.sql`${isInvoice} AND outstanding_minor > 0`
  if (filter === 'late') return Prisma.sql`${isInvoice} AND outstanding_minor > 0 AND due_on < ${today}::date`
  if (filter === 'paid')
    return Prisma.sql`${isInvoice} AND outstanding_minor <= 0 AND (paid_minor <> 0 OR credited_minor = 0)`
  if (filter === 'credited')
    return Prisma.sql`${isInvoice} AND outstanding_minor = 0 AND credited_minor > 0 AND paid_minor = 0`
  return filter === 'credit' ? Prisma.sql`document_type = 'credit_note'` : Prisma.sql`true`
}

type Row = {
  id: string
  number: string
  document_type: ListedInvoice['documentType']
  client_name: string | null
  issued_on: string
  due_on: string | null
  currency: string
  gross_minor: number
  credited_minor: number
  paid_minor: number
  outstanding_minor: number
  days_late: number
}

type Wanted = { filter: InvoiceFilter; search: string; today: string; page: number }

/** A page of issued documents, newest first. `search` looks in number and client name. */
export async function listInvoices(tx: Transaction, businessId: string, { filter, search, today, page }: Wanted) {
  const like = `%${search.replace(/[\\%_]/g, '\\$&')}%`
  const found =
    search === '' ? Prisma.sql`true` : Prisma.sql`(number ILIKE ${like} OR invoice.buyer ->> 'name' ILIKE ${like})`
  const issued = Prisma.sql`invoice.business_id = ${businessId}::uuid AND invoice.state = 'issued'`
  const listed = Prisma.sql`${condition(filter, today)} AND ${found}`
  // How it stands is asked of all only where that tells which are listed; else the newest are found by their index.
  const picked =
    filter === 'all' || filter === 'credit'
      ? Prisma.sql`SELECT id, (SELECT count(*)::int FROM invoice WHERE ${issued} AND ${listed}) AS total FROM invoice WHERE ${issued} AND ${listed}`
      : Prisma.sql`SELECT id, count(*) OVER ()::int AS total FROM (${documentStandings(businessId, today)}) AS standing
          ${search === '' ? Prisma.empty : Prisma.sql`JOIN (SELECT id, buyer FROM invoice WHERE ${issued}) AS invoice USING (id)`}
          WHERE ${listed}`
  const ids = await tx.$queryRaw<{ id: string; total: number }[]>`
    ${picked} ORDER BY issued_on DESC, number DESC, id DESC
    LIMIT ${INVOICES_PER_PAGE} OFFSET ${(page - 1) * INVOICES_PER_PAGE}`
  const rows = await tx.$queryRaw<Row[]>`
    SELECT standing.*, standing.issued_on::text, standing.due_on::text, invoice.buyer ->> 'name' AS client_name,
      GREATEST(0, ${today}::date - standing.due_on)::int AS days_late
    FROM (${documentStandings(businessId, BY_NOW, { ids: ids.map(({ id }) => id) })}) AS standing
    JOIN invoice ON invoice.business_id = ${businessId}::uuid AND invoice.id = standing.id
    ORDER BY standing.issued_on DESC, standing.number DESC, standing.id DESC`
  return { invoices: rows.map(listedRow), total: ids[0]?.total ?? 0 }
}

/** A count and a sum in the currency's minor unit. */
type Figure = { count: number; minor: number }
export type MoneySums = Record<'open' | 'late' | 'received' | 'drafts', Figure> & { balances: [Balance, ...Balance[]] }

/**
 * What the ledger says of all clients in the business's currency; what came in this month (money given back counts against it) and what
 * waits as drafts.
 */
export async function sumInvoices(
  tx: Transaction,
  businessId: string,
  currency: string,
  today: string,
): Promise<MoneySums> {
  const balances = await readBalance(tx, { businessId, currency, asAt: today })
  const [balance] = balances
  const rows = await tx.$queryRaw<(Figure & { figure: 'received' | 'drafts' })[]>`
    SELECT 'received' AS figure, count(*)::int AS count, COALESCE(sum(amount_minor), 0)::float8 AS minor
      FROM (${standingPayments(businessId)}) AS received
      WHERE currency = ${currency} AND received_on >= date_trunc('month', ${today}::date) AND received_on <= ${today}::date
    UNION ALL SELECT 'drafts', count(*)::int, COALESCE(sum(gross_minor), 0)::float8 FROM invoice
      WHERE business_id = ${businessId}::uuid AND state = 'draft' AND document_type = 'invoice' AND currency = ${currency}`
  const figure = (name: 'received' | 'drafts'): Figure => {
    const { count = 0, minor = 0 } = rows.find((row) => row.figure === name) ?? {}
    return { count, minor }
  }
  return {
    balances,
    open: { count: balance.openCount, minor: balance.outstandingMinor },
    late: { count: balance.overdueCount, minor: balance.overdueMinor },
    received: figure('received'),
    drafts: figure('drafts'),
  }
}

function listedRow(row: Row): ListedInvoice {
  const isCredit = row.document_type === 'credit_note'
  const outstandingMinor = isCredit ? 0 : row.outstanding_minor
  return {
    id: row.id,
    number: row.number,
    documentType: row.document_type,
    clientName: row.client_name ?? '',
    issuedOn: row.issued_on,
    dueOn: row.due_on,
    currency: row.currency,
    grossMinor: isCredit ? -row.gross_minor : row.gross_minor,
    paidMinor: row.paid_minor,
    outstandingMinor,
    state: isCredit
      ? null
      : paymentState({
          outstandingMinor: row.outstanding_minor,
          paidMinor: row.paid_minor,
          creditedMinor: row.credited_minor,
        }),
    daysLate: outstandingMinor > 0 ? row.days_late : 0,
  }
}
