import 'server-only'
import { z } from 'zod'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay, asDbDate, dayIn } from '../frame/days'
import { readBalance, readInvoiceStandings, standingAllocations, standingPayments } from './ledger'
import { paymentStanding } from './payment-state'
import { type Period, sumTax, TAX_BASES, type TaxBasis } from './tax-report'

const ROWS_PER_PAGE = 40

type Asked = Partial<Period> & { basis?: TaxBasis | undefined; documentsPage?: number; paymentsPage?: number }

/** What an accountant looks at: tax by category and rate, and a page each of the documents issued and the money received in a period. */
export function booksPage(actor: Actor, asked: Asked, now = new Date()) {
  const { businessId } = actor
  const { documentsPage = 1, paymentsPage = 1 } = asked
  return inBusiness(actor, async (tx) => {
    const business = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    const today = dayIn(business.timeZone, now)
    const period = { from: asked.from ?? `${today.slice(0, 7)}-01`, to: asked.to ?? today }
    const basis = asked.basis ?? basisOf(business.taxBasis)
    return {
      businessId,
      businessName: business.name,
      locale: business.locale,
      currency: business.currency,
      ownBasis: basisOf(business.taxBasis),
      fileDecimals: business.fileDecimals === 'comma' ? ('comma' as const) : ('point' as const),
      today,
      period,
      basis,
      balances: await readBalance(tx, { businessId, currency: business.currency, asAt: today }),
      taxSums: await sumTax(tx, { businessId, country: business.country, period, basis }),
      ...(await documentsOf(tx, businessId, { period, page: documentsPage, today })),
      ...(await paymentsIn(tx, businessId, { period, page: paymentsPage })),
    }
  })
}

export const basisOf = (stored: string): TaxBasis => TAX_BASES.find((basis) => basis === stored) ?? 'issue'

const within = ({ from, to }: Period) => ({ gte: asDbDate(from), lte: asDbDate(to) })

const DOCUMENT_SELECT = {
  ...{ id: true, documentType: true, number: true, issuedOn: true, dueOn: true, buyer: true, currency: true },
  ...{ netMinor: true, taxMinor: true, grossMinor: true },
} as const satisfies Prisma.InvoiceSelect

const named = z.object({ name: z.string() })
const nameOf = (buyer: unknown) => named.safeParse(buyer).data?.name ?? ''

async function documentsOf(
  tx: Transaction,
  businessId: string,
  { period, page, today }: { period: Period; page: number; today: string },
) {
  const issued = { businessId, state: 'issued', issuedOn: within(period) }
  const rows = await tx.invoice.findMany({
    where: issued,
    select: DOCUMENT_SELECT,
    orderBy: [{ issuedOn: 'asc' }, { documentType: 'desc' }, { number: 'asc' }],
    skip: (page - 1) * ROWS_PER_PAGE,
    take: ROWS_PER_PAGE,
  })
  const standings = await readInvoiceStandings(
    tx,
    businessId,
    rows.map(({ id }) => id),
  )
  const documents = rows.map((row) => {
    const isInvoice = row.documentType === 'invoice'
    const sign = isInvoice ? 1 : -1
    const { paidMinor = 0, creditedMinor = 0 } = standings.find(({ id }) => id === row.id) ?? {}
    const owed = { grossMinor: row.grossMinor, creditedMinor, dueOn: asDay(row.dueOn) }
    const standing = paymentStanding(owed, [{ amountMinor: paidMinor, receivedOn: today }], today)
    return {
      id: row.id,
      documentType: isInvoice ? ('invoice' as const) : ('credit_note' as const),
      number: row.number ?? '',
      issuedOn: asDay(row.issuedOn) ?? '',
      clientName: nameOf(row.buyer),
      currency: row.currency,
      netMinor: sign * row.netMinor,
      taxMinor: sign * row.taxMinor,
      grossMinor: sign * row.grossMinor,
      outstandingMinor: isInvoice ? standing.outstandingMinor : 0,
      state: isInvoice ? standing.state : null,
      daysLate: isInvoice ? standing.daysLate : 0,
    }
  })
  const total = await tx.invoice.count({ where: issued })
  return { documents, documentPages: { page, perPage: ROWS_PER_PAGE, total } }
}

export type ListedPayment = {
  id: string
  receivedOn: string
  amountMinor: number
  currency: string
  method: string
  reference: string
  clientId: string
  clientName: string
  /** Numbers of the invoices that it settles; empty while all of it is in hand. */
  settles: string
  inHandMinor: number
}

/** Payments that stand, received in a period: a page of them and the sum of all by currency. One corrected to nothing is none. */
async function paymentsIn(tx: Transaction, businessId: string, { period, page }: { period: Period; page: number }) {
  const sums = await tx.$queryRaw<{ currency: string; count: number; minor: number }[]>`
    SELECT currency, count(*)::int AS count, sum(amount_minor)::float8 AS minor FROM (${standingPayments(businessId)}) AS received
    WHERE received_on BETWEEN ${period.from}::date AND ${period.to}::date GROUP BY currency ORDER BY currency`
  return {
    payments: await readPayments(tx, businessId, period, { skip: (page - 1) * ROWS_PER_PAGE, take: ROWS_PER_PAGE }),
    paymentSums: sums,
    paymentPages: { page, perPage: ROWS_PER_PAGE, total: sums.reduce((all, { count }) => all + count, 0) },
  }
}

/** Some payments of a period, oldest first, with what each settles. */
export function readPayments(
  tx: Transaction,
  businessId: string,
  { from, to }: Period,
  { skip, take }: { skip: number; take: number },
): Promise<ListedPayment[]> {
  return tx.$queryRaw<ListedPayment[]>`
    WITH received AS MATERIALIZED (SELECT * FROM (${standingPayments(businessId)}) AS standing
      WHERE received_on BETWEEN ${from}::date AND ${to}::date ORDER BY received_on, id LIMIT ${take} OFFSET ${skip})
    SELECT received.id, received.received_on::text AS "receivedOn", received.amount_minor AS "amountMinor", received.currency, received.method,
      received.reference, client.id AS "clientId", client.name AS "clientName", COALESCE(used.numbers, '') AS settles,
      (received.amount_minor - COALESCE(used.minor, 0))::float8 AS "inHandMinor"
    FROM received JOIN client ON client.business_id = ${businessId}::uuid AND client.id = received.client_id
    LEFT JOIN (SELECT settled.payment_id, sum(settled.amount_minor) AS minor, string_agg(invoice.number, ', ' ORDER BY invoice.number) AS numbers
      FROM (${standingAllocations(businessId)}) AS settled
      JOIN invoice ON invoice.business_id = ${businessId}::uuid AND invoice.id = settled.invoice_id
      WHERE settled.payment_id IN (SELECT id FROM received) GROUP BY settled.payment_id) used ON used.payment_id = received.id
    ORDER BY received.received_on, received.id`
}
