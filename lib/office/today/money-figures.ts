import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'

/** A count and a sum in the currency's minor unit. */
export type Figure = { count: number; minor: number }
export type MoneyFigures = { drafts: Figure; unpaidPastDue: Figure; paidThisMonth: Figure }

/**
 * Drafts to issue; issued invoices past their day to pay that payments and credit notes have not settled, with what is
 * still open; payments received since the first of the month (given back ones count against it).
 */
export async function moneyFigures(tx: Transaction, businessId: string, today: string): Promise<MoneyFigures> {
  const rows = await tx.$queryRaw<{ figure: keyof MoneyFigures; count: number; minor: bigint }[]>`
    WITH received AS (
      SELECT invoice_id, received_on, amount_minor FROM payment
      WHERE business_id = ${businessId}::uuid
        AND NOT EXISTS (SELECT 1 FROM payment newer WHERE newer.business_id = payment.business_id AND newer.corrects_id = payment.id)
    ), open AS (
      SELECT invoice.gross_minor
        - coalesce((SELECT sum(amount_minor) FROM received WHERE invoice_id = invoice.id), 0)
        - coalesce((SELECT sum(abs(note.gross_minor)) FROM invoice note WHERE note.business_id = invoice.business_id
            AND note.corrects_invoice_id = invoice.id AND note.document_type = 'credit_note' AND note.state = 'issued'), 0) AS minor
      FROM invoice WHERE business_id = ${businessId}::uuid AND document_type = 'invoice' AND state = 'issued'
        AND due_on < ${today}::date
    )
    SELECT 'drafts' AS figure, count(*)::int AS count, coalesce(sum(gross_minor), 0)::bigint AS minor FROM invoice
      WHERE business_id = ${businessId}::uuid AND document_type = 'invoice' AND state = 'draft'
    UNION ALL SELECT 'unpaidPastDue', count(*)::int, coalesce(sum(minor), 0)::bigint FROM open WHERE minor > 0
    UNION ALL SELECT 'paidThisMonth', count(*)::int, coalesce(sum(amount_minor), 0)::bigint FROM received
      WHERE received_on BETWEEN date_trunc('month', ${today}::date)::date AND ${today}::date`
  const figure = (name: keyof MoneyFigures): Figure => {
    const row = rows.find((candidate) => candidate.figure === name)
    return { count: row?.count ?? 0, minor: Number(row?.minor ?? 0) }
  }
  return {
    drafts: figure('drafts'),
    unpaidPastDue: figure('unpaidPastDue'),
    paidThisMonth: figure('paidThisMonth'),
  }
}
