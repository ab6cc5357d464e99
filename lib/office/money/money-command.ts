import 'server-only'
import type { CommandContext } from '../frame/command'
import { type Result, refused } from '../frame/result'

/** Why a change of the books is refused; the words say it in full. */
export type MoneyReason =
  | 'not-found'
  | 'not-a-draft'
  | 'not-ready'
  | 'total-changed'
  | 'date-order'
  | 'overpaid'
  | 'twice'
  | 'too-much'
  | 'already-so'
  | 'does-not-fit'
  | 'changed-meanwhile'
  | 'on-a-draft'
  | 'long-ago'

export type MoneyResult<Value> = Promise<Result<Value, MoneyReason>>

/** Many invoices issued at once wait for one number series, and for a connection; they are patient rather than refused. */
const limits = { waitMs: 60_000, timeoutMs: 60_000 }
export const MONEY = { may: 'money.change', limits } as const
export const PAYMENTS = { may: 'payment.record', limits } as const

/** The same words for an invoice that is not there or is another business's. */
export function noSuchInvoice() {
  return refused('not-found', 'This invoice is not in the books any more. Reload the page.')
}

/**
 * Locks an invoice's row until the transaction ends, so that editing, issuing, crediting and paying wait for each other.
 * Null when there is none.
 */
export async function lockInvoice({ tx, actor }: CommandContext, invoiceId: string) {
  const rows = await tx.$queryRaw<{ state: string; documentType: string; number: string | null }[]>`
    SELECT state, document_type AS "documentType", number FROM invoice
    WHERE business_id = ${actor.businessId}::uuid AND id = ${invoiceId}::uuid FOR UPDATE`
  return rows[0] ?? null
}

/** Locks a draft; refuses in words what is no draft any more. */
export async function lockDraft(context: CommandContext, invoiceId: string) {
  const held = await lockInvoice(context, invoiceId)
  if (!held) return noSuchInvoice()
  if (held.state === 'draft') return null
  return refused('not-a-draft', `${held.number} is issued and cannot change. Write a credit note instead.`)
}

/** Whoever makes drafts waits for whoever does already, so that a charge stands on one of them only. */
export async function lockBilling({ tx, actor }: CommandContext): Promise<void> {
  await tx.$queryRaw`SELECT pg_advisory_xact_lock(hashtextextended(${`bill ${actor.businessId}`}, 0))::text`
}
