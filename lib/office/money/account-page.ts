import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../frame/actor'
import { addDays, dayIn } from '../frame/days'
import { type Balance, readBalance, readOpenInvoices, readUnallocated, standingPayments } from './ledger'
import type { Period } from './tax-report'

/** What changed a client's balance: an invoice or a refund (more is owed), a credit note or a payment (less). */
type AccountEntry = {
  id: string
  kind: 'invoice' | 'credit_note' | 'payment' | 'refund'
  day: string
  what: string
  amountMinor: number
  balanceMinor: number
}

export type Account = {
  clientId: string
  clientName: string
  currencies: {
    currency: string
    /** Owed at the end of the day before; negative in the client's favour. */
    openingMinor: number
    entries: AccountEntry[]
    closingMinor: number
    /** As at the last day. */
    balance: Balance
  }[]
}

type EntryRow = Omit<AccountEntry, 'balanceMinor'> & { currency: string; enteredAt: Date }

/** A client's account in a period, its duplicates' papers included, those of one day in the order in which they were entered; null where there is no such client. */
export async function readAccount(
  tx: Transaction,
  businessId: string,
  clientId: string,
  { from, to }: Period,
): Promise<Account | null> {
  const client = await tx.client.findFirst({
    where: { businessId, id: clientId },
    select: { id: true, name: true, mergedIntoId: true, business: { select: { currency: true } } },
  })
  if (!client) return null
  const keptId = client.mergedIntoId ?? client.id
  const merged = await tx.client.findMany({ where: { businessId, mergedIntoId: keptId }, select: { id: true } })
  const clientIds = [keptId, ...merged.map(({ id }) => id)]
  const { currency } = client.business
  const before = await readBalance(tx, { businessId, currency, asAt: addDays(from, -1), clientIds })
  const after = await readBalance(tx, { businessId, currency, asAt: to, clientIds })
  const rows = await tx.$queryRaw<EntryRow[]>`
    SELECT id, document_type AS kind, issued_on::text AS day, number AS what, currency,
      CASE document_type WHEN 'credit_note' THEN -gross_minor ELSE gross_minor END AS "amountMinor",
      COALESCE(issued_at, created_at) AS "enteredAt"
    FROM invoice WHERE business_id = ${businessId}::uuid AND state = 'issued' AND client_id = ANY(${clientIds}::uuid[])
      AND issued_on BETWEEN ${from}::date AND ${to}::date
    UNION ALL SELECT id, CASE WHEN amount_minor < 0 THEN 'refund' ELSE 'payment' END, received_on::text,
      concat_ws(', ', NULLIF(method, ''), NULLIF(reference, '')), currency, -amount_minor, created_at
    FROM (${standingPayments(businessId)}) AS received
    WHERE client_id = ANY(${clientIds}::uuid[]) AND received_on BETWEEN ${from}::date AND ${to}::date
    ORDER BY day, "enteredAt", id`
  const currencies = after.map((balance) => {
    const openingMinor = before.find((one) => one.currency === balance.currency)?.debtorsMinor ?? 0
    let balanceMinor = openingMinor
    const entries = rows.flatMap(({ currency: of, enteredAt: _, ...row }) => {
      if (of !== balance.currency) return []
      balanceMinor += row.amountMinor
      return [{ ...row, balanceMinor }]
    })
    return { currency: balance.currency, openingMinor, entries, closingMinor: balance.debtorsMinor, balance }
  })
  const kept =
    keptId === client.id
      ? client
      : await tx.client.findUniqueOrThrow({ where: { businessId_id: { businessId, id: keptId } } })
  return { clientId: keptId, clientName: kept.name, currencies }
}

/** A client's account as a page: the statement of a period, and what can be done with it today. Null where there is no such client. */
export function accountPage(actor: Actor, clientId: string, asked: Partial<Period>, now = new Date()) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const business = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    const today = dayIn(business.timeZone, now)
    const period = {
      from: asked.from ?? `${addDays(`${today.slice(0, 7)}-01`, -62).slice(0, 7)}-01`,
      to: asked.to ?? today,
    }
    const account = await readAccount(tx, businessId, clientId, period)
    if (!account) return null
    const merged = await tx.client.findMany({
      where: { businessId, mergedIntoId: account.clientId },
      select: { id: true },
    })
    const clientIds = [account.clientId, ...merged.map(({ id }) => id)]
    const invoices = await readOpenInvoices(tx, businessId, clientIds)
    const { currency, locale } = business
    return {
      ...account,
      ...{ businessId, today, period, locale, currency },
      /** Owed by now, oldest first; and those paid or credited beyond what they say. */
      open: invoices.filter(({ outstandingMinor }) => outstandingMinor > 0),
      overSettled: invoices.filter(({ outstandingMinor }) => outstandingMinor < 0),
      unallocatedMinor: await readUnallocated(tx, businessId, clientIds, currency),
    }
  })
}
