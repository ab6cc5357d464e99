import 'server-only'
import { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'

/**
 * The one ledger: what every invoice and every client owes, as at a day, that day included. Today, Money, Books, a client's page and the
 * client's own record all read it here. An allocation counts from its payment's day (or the day it was moved), and not before its invoice is
 * issued; a corrected payment counts nowhere, and with it what it settled. Sums are made once for all invoices, never for each.
 */

/**
 * Nobody corrected this payment. Asked as what is not there: of the few corrections Postgres makes one short list, where a join and a test for
 * null had it expect one row and look each payment up.
 */
const uncorrected = (businessId: string, paymentId: Prisma.Sql) => Prisma.sql`NOT EXISTS (SELECT 1 FROM payment newer
  WHERE newer.business_id = ${businessId}::uuid AND newer.corrects_id IS NOT NULL AND newer.corrects_id = ${paymentId})`

/** Payments that stand: nobody corrected them. */
export const standingPayments = (businessId: string) => Prisma.sql`
  SELECT p.* FROM payment p
  WHERE p.business_id = ${businessId}::uuid AND p.amount_minor <> 0 AND ${uncorrected(businessId, Prisma.sql`p.id`)}`

/** What settles invoices, each with its day. */
export const standingAllocations = (businessId: string) => Prisma.sql`
  SELECT a.id, a.client_id, a.invoice_id, a.payment_id, a.amount_minor, COALESCE(a.moved_on, p.received_on) AS settled_on
  FROM allocation a LEFT JOIN payment p ON p.business_id = ${businessId}::uuid AND p.id = a.payment_id
  WHERE a.business_id = ${businessId}::uuid AND ${uncorrected(businessId, Prisma.sql`a.payment_id`)}`

/**
 * The same up to a day, that day included: told by the few payments of later days, so that those that count need not be looked up. An
 * allocation bears the client of its payment: whoever may see the one sees the other.
 */
const allocationsBy = (businessId: string, asAt: string) => Prisma.sql`
  SELECT a.invoice_id, a.client_id, a.amount_minor FROM allocation a
  WHERE a.business_id = ${businessId}::uuid AND (a.moved_on IS NULL OR a.moved_on <= ${asAt}::date)
    AND ${uncorrected(businessId, Prisma.sql`a.payment_id`)}
    AND NOT EXISTS (SELECT 1 FROM payment later
      WHERE later.business_id = ${businessId}::uuid AND later.received_on > ${asAt}::date AND later.id = a.payment_id)`

/** Which documents: all, these, or those of these clients. */
type Only = { ids?: readonly string[]; clientIds?: readonly string[] | undefined }

/** Issued documents with what was credited and paid of them. Sums beyond an integer come as text from Postgres. */
export function documentStandings(businessId: string, asAt: string, { ids, clientIds }: Only = {}): Prisma.Sql {
  const only = (id: Prisma.Sql, client: Prisma.Sql) => Prisma.sql`
    ${ids === undefined ? Prisma.empty : Prisma.sql`AND ${id} = ANY(${ids}::uuid[])`}
    ${clientIds === undefined ? Prisma.empty : Prisma.sql`AND ${client} = ANY(${clientIds}::uuid[])`}`
  return Prisma.sql`
    SELECT i.id, i.client_id, i.number, i.document_type, i.issued_on, i.due_on, i.currency, i.gross_minor,
      COALESCE(paid.minor, 0)::float8 AS paid_minor, COALESCE(credited.minor, 0)::float8 AS credited_minor,
      (i.gross_minor - COALESCE(credited.minor, 0) - COALESCE(paid.minor, 0))::float8 AS outstanding_minor
    FROM invoice i
    LEFT JOIN (SELECT invoice_id, sum(amount_minor) AS minor FROM (${allocationsBy(businessId, asAt)}) AS settled
      WHERE true ${only(Prisma.sql`invoice_id`, Prisma.sql`client_id`)} GROUP BY invoice_id) paid
      ON paid.invoice_id = i.id
    LEFT JOIN (SELECT c.corrects_invoice_id, sum(c.gross_minor) AS minor FROM invoice c
      WHERE c.business_id = ${businessId}::uuid AND c.document_type = 'credit_note' AND c.state = 'issued'
        AND c.issued_on <= ${asAt}::date ${only(Prisma.sql`c.corrects_invoice_id`, Prisma.sql`c.client_id`)}
      GROUP BY c.corrects_invoice_id) credited ON credited.corrects_invoice_id = i.id
    WHERE i.business_id = ${businessId}::uuid AND i.state = 'issued' AND i.issued_on <= ${asAt}::date
      ${only(Prisma.sql`i.id`, Prisma.sql`i.client_id`)}`
}

/** Later than every day: what is asked is how it stands by now. */
export const BY_NOW = '9999-12-31'

/** What is owed and what is in hand, in minor units. `debtorsMinor` = outstanding − in hand, and what the documents say less the money. */
export type Balance = {
  currency: string
  outstandingMinor: number
  openCount: number
  overdueMinor: number
  overdueCount: number
  /** Paid or credited beyond an invoice, and payments that settle none yet. */
  inHandMinor: number
  debtorsMinor: number
  /** Outstanding by whole days past the day to pay: not yet due (that day included), 1 to 30, 31 to 60, 61 to 90, over 90. */
  agedMinor: [number, number, number, number, number]
}
export type ClientBalance = Balance & { clientId: string; clientName: string }

/** Whole days past the day to pay, in the order of `agedMinor`. Only of what is owed. */
const BAND = Prisma.sql`CASE WHEN outstanding_minor <= 0 OR days <= 0 THEN 0 WHEN days <= 30 THEN 1 WHEN days <= 60 THEN 2
  WHEN days <= 90 THEN 3 ELSE 4 END`

/**
 * Invoices, payments and what of them is used, as what they add to outstanding and in hand; of all clients, or of these. Summed at once, a row
 * for each currency and band, and for each client where `by` says so: what comes after has few rows to look at, however many there were.
 */
function entries(
  { businessId, asAt, clientIds }: { businessId: string; asAt: string; clientIds?: readonly string[] | undefined },
  by: 'business' | 'client',
): Prisma.Sql {
  const ofClients = clientIds === undefined ? Prisma.empty : Prisma.sql`AND client_id = ANY(${clientIds}::uuid[])`
  const group = by === 'client' ? Prisma.sql`client_id, currency` : Prisma.sql`currency`
  return Prisma.sql`
    SELECT ${group}, ${BAND} AS band, sum(GREATEST(outstanding_minor, 0)) AS outstanding,
      count(*) FILTER (WHERE outstanding_minor > 0) AS open, sum(GREATEST(-outstanding_minor, 0) - paid_minor) AS in_hand
    FROM (SELECT *, ${asAt}::date - COALESCE(due_on, issued_on) AS days
      FROM (${documentStandings(businessId, asAt, { clientIds })}) AS document WHERE document_type = 'invoice') AS standing
    GROUP BY ${group}, band
    UNION ALL SELECT ${group}, 0, 0, 0, sum(amount_minor) FROM (${standingPayments(businessId)}) AS received
    WHERE received_on <= ${asAt}::date ${ofClients} GROUP BY ${group}`
}

const SUMS = Prisma.sql`
  sum(outstanding)::float8 AS "outstandingMinor", sum(open)::int AS "openCount",
  COALESCE(sum(outstanding) FILTER (WHERE band > 0), 0)::float8 AS "overdueMinor",
  COALESCE(sum(open) FILTER (WHERE band > 0), 0)::int AS "overdueCount",
  sum(in_hand)::float8 AS "inHandMinor", (sum(outstanding) - sum(in_hand))::float8 AS "debtorsMinor",
  ARRAY[COALESCE(sum(outstanding) FILTER (WHERE band = 0), 0), COALESCE(sum(outstanding) FILTER (WHERE band = 1), 0),
    COALESCE(sum(outstanding) FILTER (WHERE band = 2), 0), COALESCE(sum(outstanding) FILTER (WHERE band = 3), 0),
    COALESCE(sum(outstanding) FILTER (WHERE band = 4), 0)]::float8[] AS "agedMinor"`

const nothing = (currency: string): Balance => ({
  ...{ currency, outstandingMinor: 0, openCount: 0, overdueMinor: 0, overdueCount: 0, inHandMinor: 0, debtorsMinor: 0 },
  agedMinor: [0, 0, 0, 0, 0],
})

/** The business's own currency first, also where there is nothing in it. Pure. */
export function ownFirst(rows: readonly Balance[], currency: string): [Balance, ...Balance[]] {
  const own = rows.find((row) => row.currency === currency) ?? nothing(currency)
  return [own, ...rows.filter((row) => row.currency !== currency)]
}

/** All clients together, or some as one, by currency. */
export async function readBalance(
  tx: Transaction,
  { currency, ...asked }: { businessId: string; currency: string; asAt: string; clientIds?: readonly string[] },
): Promise<[Balance, ...Balance[]]> {
  const rows = await tx.$queryRaw<Balance[]>`
    SELECT currency, ${SUMS} FROM (${entries(asked, 'business')}) AS entry GROUP BY currency ORDER BY currency`
  return ownFirst(rows, currency)
}

export const CLIENTS_PER_PAGE = 50

/**
 * Clients who owe or have something in hand, those who owe most first; merged ones count as the one they became. And all clients together, out
 * of the same reading.
 */
export async function readDebtors(
  tx: Transaction,
  { businessId, asAt, page }: { businessId: string; asAt: string; page: number | 'all' },
): Promise<{ balances: Balance[]; clients: ClientBalance[]; total: number }> {
  const limit =
    page === 'all' ? Prisma.empty : Prisma.sql`LIMIT ${CLIENTS_PER_PAGE} OFFSET ${(page - 1) * CLIENTS_PER_PAGE}`
  type Row = Balance & { clientId: string | null; clientName: string | null; total: number }
  const rows = await tx.$queryRaw<Row[]>`
    WITH entry AS MATERIALIZED (${entries({ businessId, asAt }, 'client')}),
    listed AS (SELECT kept.id AS "clientId", kept.name AS "clientName", currency, ${SUMS}, count(*) OVER ()::int AS total
      FROM entry JOIN client held ON held.business_id = ${businessId}::uuid AND held.id = entry.client_id
      JOIN client kept ON kept.business_id = ${businessId}::uuid AND kept.id = COALESCE(held.merged_into_id, held.id)
      GROUP BY kept.id, kept.name, currency HAVING sum(outstanding) <> 0 OR sum(in_hand) <> 0
      ORDER BY sum(outstanding) - sum(in_hand) DESC, kept.name, kept.id ${limit})
    SELECT NULL AS "clientId", NULL AS "clientName", currency, ${SUMS}, 0 AS total FROM entry GROUP BY currency
    UNION ALL SELECT * FROM listed
    ORDER BY "debtorsMinor" DESC, "clientName", "clientId"`
  const clients = rows.flatMap(({ clientId, clientName, total: _, ...row }) =>
    clientId === null || clientName === null ? [] : [{ ...row, clientId, clientName }],
  )
  const all = rows.flatMap(({ clientId, clientName: _, total: __, ...row }) => (clientId === null ? [row] : []))
  const balances = all.sort((a, b) => (a.currency < b.currency ? -1 : 1))
  return { balances, clients, total: rows.reduce((most, row) => Math.max(most, row.total), 0) }
}

/** One issued document with what was credited and paid of it by now. */
type InvoiceStanding = {
  id: string
  clientId: string
  number: string
  documentType: 'invoice' | 'credit_note'
  currency: string
  paidMinor: number
  creditedMinor: number
  outstandingMinor: number
}

/** These documents as they stand by now, whatever the day; a draft is none of them. */
export function readInvoiceStandings(
  tx: Transaction,
  businessId: string,
  ids: readonly string[],
): Promise<InvoiceStanding[]> {
  return tx.$queryRaw`
    SELECT id, client_id AS "clientId", number, document_type AS "documentType", currency, paid_minor AS "paidMinor",
      credited_minor AS "creditedMinor", outstanding_minor AS "outstandingMinor"
    FROM (${documentStandings(businessId, BY_NOW, { ids })}) AS document ORDER BY id`
}

/** Payments of these clients that settle nothing yet, in minor units. */
export async function readUnallocated(
  tx: Transaction,
  businessId: string,
  clientIds: readonly string[],
  currency: string,
): Promise<number> {
  const rows = await tx.$queryRaw<{ minor: number }[]>`
    SELECT (COALESCE((SELECT sum(amount_minor) FROM (${standingPayments(businessId)}) AS received
        WHERE client_id = ANY(${clientIds}::uuid[]) AND currency = ${currency}), 0)
      - COALESCE((SELECT sum(settled.amount_minor) FROM (${standingAllocations(businessId)}) AS settled
        JOIN invoice ON invoice.business_id = ${businessId}::uuid AND invoice.id = settled.invoice_id
        WHERE invoice.client_id = ANY(${clientIds}::uuid[]) AND invoice.currency = ${currency}), 0))::float8 AS minor`
  return rows[0]?.minor ?? 0
}

/** Invoices of these clients on which something is still owed by now, oldest first. */
export function readOpenInvoices(
  tx: Transaction,
  businessId: string,
  clientIds: readonly string[],
): Promise<(InvoiceStanding & { issuedOn: string; dueOn: string | null })[]> {
  return tx.$queryRaw`
    SELECT id, client_id AS "clientId", number, document_type AS "documentType", currency, paid_minor AS "paidMinor",
      credited_minor AS "creditedMinor", outstanding_minor AS "outstandingMinor", issued_on::text AS "issuedOn", due_on::text AS "dueOn"
    FROM (${documentStandings(businessId, BY_NOW, { clientIds })}) AS document
    WHERE document_type = 'invoice' AND outstanding_minor <> 0 ORDER BY issued_on, number`
}
