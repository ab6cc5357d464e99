import 'server-only'
import { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import type { PaymentState } from './payment-state'

export const INVOICES_PER_PAGE = 50

/** Which issued documents are listed. */
export const INVOICE_FILTERS = ['all', 'open', 'late', 'paid', 'credit'] as const
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

/** Every issued document with what was credited and paid of it. Sums beyond an integer come as text from Postgres. */
const standing = (businessId: string) => Prisma.sql`
  SELECT i.id, i.number, i.document_type, i.issued_on, i.due_on, i.currency, i.gross_minor, i.buyer ->> 'name' AS client_name,
    COALESCE(paid.minor, 0)::float8 AS paid_minor,
    (i.gross_minor - COALESCE(credited.minor, 0) - COALESCE(paid.minor, 0))::float8 AS outstanding_minor
  FROM invoice i
  LEFT JOIN LATERAL (SELECT sum(p.amount_minor) AS minor FROM payment p
    WHERE p.business_id = i.business_id AND p.invoice_id = i.id AND NOT EXISTS (
      SELECT 1 FROM payment newer WHERE newer.business_id = p.business_id AND newer.corrects_id = p.id)) paid ON true
  LEFT JOIN LATERAL (SELECT sum(c.gross_minor) AS minor FROM invoice c
    WHERE c.business_id = i.business_id AND c.corrects_invoice_id = i.id AND c.state = 'issued') credited ON true
  WHERE i.business_id = ${businessId}::uuid AND i.state = 'issued'`

const isInvoice = Prisma.sql`document_type = 'invoice'`

function condition(filter: InvoiceFilter, today: string): Prisma.Sql {
  if (filter === 'open') return Prisma.sql`${isInvoice} AND outstanding_minor > 0`
  if (filter === 'late') return Prisma.sql`${isInvoice} AND outstanding_minor > 0 AND due_on < ${today}::date`
  if (filter === 'paid') return Prisma.sql`${isInvoice} AND outstanding_minor <= 0`
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
  paid_minor: number
  outstanding_minor: number
  days_late: number
}

type Wanted = { filter: InvoiceFilter; search: string; today: string; page: number }

/** A page of issued documents, newest first. `search` looks in number and client name. */
export async function listInvoices(tx: Transaction, businessId: string, { filter, search, today, page }: Wanted) {
  const like = `%${search.replace(/[\\%_]/g, '\\$&')}%`
  const where = Prisma.sql`${condition(filter, today)} AND (number ILIKE ${like} OR client_name ILIKE ${like})`
  const rows = await tx.$queryRaw<Row[]>`
    SELECT id, number, document_type, client_name, issued_on::text, due_on::text, currency, gross_minor, paid_minor,
      outstanding_minor, GREATEST(0, ${today}::date - due_on)::int AS days_late
    FROM (${standing(businessId)}) AS standing WHERE ${where}
    ORDER BY standing.issued_on DESC, number DESC, id DESC
    LIMIT ${INVOICES_PER_PAGE} OFFSET ${(page - 1) * INVOICES_PER_PAGE}`
  const counted = await tx.$queryRaw<{ total: number }[]>`
    SELECT count(*)::int AS total FROM (${standing(businessId)}) AS standing WHERE ${where}`
  return { invoices: rows.map(listed), total: counted[0]?.total ?? 0 }
}

/** What is open, what is late, and what came in this month, in one currency. */
export async function sumInvoices(tx: Transaction, businessId: string, currency: string, today: string) {
  const rows = await tx.$queryRaw<{ open: number; open_minor: number; late: number; late_minor: number }[]>`
    SELECT count(*)::int AS open, COALESCE(sum(outstanding_minor), 0)::float8 AS open_minor,
      count(*) FILTER (WHERE due_on < ${today}::date)::int AS late,
      COALESCE(sum(outstanding_minor) FILTER (WHERE due_on < ${today}::date), 0)::float8 AS late_minor
    FROM (${standing(businessId)}) AS standing
    WHERE ${isInvoice} AND outstanding_minor > 0 AND currency = ${currency}`
  const received = await tx.$queryRaw<{ payments: number; minor: number }[]>`
    SELECT count(*)::int AS payments, COALESCE(sum(p.amount_minor), 0)::float8 AS minor
    FROM payment p JOIN invoice i ON i.business_id = p.business_id AND i.id = p.invoice_id
    WHERE p.business_id = ${businessId}::uuid AND i.currency = ${currency} AND p.amount_minor <> 0
      AND p.received_on >= date_trunc('month', ${today}::date) AND p.received_on <= ${today}::date
      AND NOT EXISTS (SELECT 1 FROM payment n WHERE n.business_id = p.business_id AND n.corrects_id = p.id)`
  const [open, paid] = [rows[0], received[0]]
  return {
    open: { count: open?.open ?? 0, minor: open?.open_minor ?? 0 },
    late: { count: open?.late ?? 0, minor: open?.late_minor ?? 0 },
    received: { count: paid?.payments ?? 0, minor: paid?.minor ?? 0 },
  }
}

function listed(row: Row): ListedInvoice {
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
    state: isCredit ? null : stateOf(row),
    daysLate: outstandingMinor > 0 ? row.days_late : 0,
  }
}

function stateOf({ outstanding_minor, paid_minor }: Row): PaymentState {
  if (outstanding_minor < 0) return 'overpaid'
  if (outstanding_minor === 0) return 'paid'
  return paid_minor > 0 ? 'part_paid' : 'unpaid'
}
