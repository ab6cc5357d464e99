import 'server-only'
import { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'

/**
 * The one ledger: what every invoice and every client owes, as at a day, that day included. Today, Money, Books, a client's page and the
 * client's own record all read it here. An allocation counts from its payment's day (or the day it was moved), and not before its invoice is
 * issued; a corrected payment counts nowhere, and with it what it settled. Sums are made once for all invoices, never for each.
 */

/** Payments that stand: nobody corrected them. */
export const standingPayments = (businessId: string) => Prisma.sql`
  SELECT p.* FROM payment p LEFT JOIN payment newer ON newer.business_id = p.business_id AND newer.corrects_id = p.id
  WHERE p.business_id = ${businessId}::uuid AND newer.id IS NULL AND p.amount_minor <> 0`

/** What settles invoices, each with its day. */
export const standingAllocations = (businessId: string) => Prisma.sql`
  SELECT a.id, a.client_id, a.invoice_id, a.payment_id, a.amount_minor, COALESCE(a.moved_on, p.received_on) AS settled_on
  FROM allocation a LEFT JOIN payment p ON p.business_id = a.business_id AND p.id = a.payment_id
  LEFT JOIN payment newer ON newer.business_id = a.business_id AND newer.corrects_id = a.payment_id
  WHERE a.business_id = ${businessId}::uuid AND newer.id IS NULL`

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
    LEFT JOIN (SELECT invoice_id, sum(amount_minor) AS minor FROM (${standingAllocations(businessId)}) AS settled
      WHERE settled_on <= ${asAt}::date ${only(Prisma.sql`invoice_id`, Prisma.sql`client_id`)} GROUP BY invoice_id) paid
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

/** Invoices, payments and what of them is used, as what they add to outstanding and in hand; of all clients, or of these. */
function entries(businessId: string, asAt: string, clientIds?: readonly string[]): Prisma.Sql {
  const ofClients = clientIds === undefined ? Prisma.empty : Prisma.sql`AND client_id = ANY(${clientIds}::uuid[])`
  return Prisma.sql`
    WITH standing AS MATERIALIZED (SELECT *, ${asAt}::date - COALESCE(due_on, issued_on) AS days
      FROM (${documentStandings(businessId, asAt, { clientIds })}) AS document WHERE document_type = 'invoice'),
    entry AS (
      SELECT client_id, currency, GREATEST(outstanding_minor, 0) AS outstanding, GREATEST(-outstanding_minor, 0) AS in_hand, days FROM standing
      UNION ALL SELECT client_id, currency, 0, amount_minor, NULL FROM (${standingPayments(businessId)}) AS received
        WHERE received_on <= ${asAt}::date ${ofClients}
      UNION ALL SELECT client_id, currency, 0, -paid_minor, NULL FROM standing)
    `
}

const SUMS = Prisma.sql`
  sum(outstanding)::float8 AS "outstandingMinor", count(*) FILTER (WHERE outstanding > 0)::int AS "openCount",
  COALESCE(sum(outstanding) FILTER (WHERE days > 0), 0)::float8 AS "overdueMinor",
  count(*) FILTER (WHERE outstanding > 0 AND days > 0)::int AS "overdueCount",
  sum(in_hand)::float8 AS "inHandMinor", (sum(outstanding) - sum(in_hand))::float8 AS "debtorsMinor",
  ARRAY[COALESCE(sum(outstanding) FILTER (WHERE days <= 0), 0), COALESCE(sum(outstanding) FILTER (WHERE days BETWEEN 1 AND 30), 0),
    COALESCE(sum(outstanding) FILTER (WHERE days BETWEEN 31 AND 60), 0), COALESCE(sum(outstanding) FILTER (WHERE days BETWEEN 61 AND 90), 0),
    COALESCE(sum(outstanding) FILTER (WHERE days > 90), 0)]::float8[] AS "agedMinor"`

const nothing = (currency: string): Balance => ({
  ...{ currency, outstandingMinor: 0, openCount: 0, overdueMinor: 0, overdueCount: 0, inHandMinor: 0, debtorsMinor: 0 },
  agedMinor: [0, 0, 0, 0, 0],
})

/** All clients together, or some as one, by currency: the business's own first, also where there is nothing in it. */
export async function readBalance(
  tx: Transaction,
  {
    businessId,
    currency,
    asAt,
    clientIds,
  }: { businessId: string; currency: string; asAt: string; clientIds?: readonly string[] },
): Promise<[Balance, ...Balance[]]> {
  const rows = await tx.$queryRaw<Balance[]>`
    ${entries(businessId, asAt, clientIds)} SELECT currency, ${SUMS} FROM entry GROUP BY currency ORDER BY currency`
  const own = rows.find((row) => row.currency === currency) ?? nothing(currency)
  return [own, ...rows.filter((row) => row.currency !== currency)]
}

export const CLIENTS_PER_PAGE = 50

/** Clients who owe or have something in hand, those who owe most first; merged ones count as the one they became. */
export async function readClientBalances(
  tx: Transaction,
  { businessId, asAt, page }: { businessId: string; asAt: string; page: number | 'all' },
): Promise<{ clients: ClientBalance[]; total: number }> {
  const limit =
    page === 'all' ? Prisma.empty : Prisma.sql`LIMIT ${CLIENTS_PER_PAGE} OFFSET ${(page - 1) * CLIENTS_PER_PAGE}`
  const rows = await tx.$queryRaw<(ClientBalance & { total: number })[]>`
    ${entries(businessId, asAt)}
    SELECT kept.id AS "clientId", kept.name AS "clientName", currency, ${SUMS}, count(*) OVER ()::int AS total
    FROM entry JOIN client held ON held.business_id = ${businessId}::uuid AND held.id = entry.client_id
    JOIN client kept ON kept.business_id = ${businessId}::uuid AND kept.id = COALESCE(held.merged_into_id, held.id)
    GROUP BY kept.id, kept.name, currency HAVING sum(outstanding) <> 0 OR sum(in_hand) <> 0
    ORDER BY sum(outstanding) - sum(in_hand) DESC, kept.name, kept.id ${limit}`
  return { clients: rows.map(({ total: _, ...row }) => row), total: rows[0]?.total ?? 0 }
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
