import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Actor } from '../actor'
import { type AuditedContext, asJson, audited } from '../audited'
import { runCommand } from '../command'
import { type Action, mayDo } from '../people/role-actions'
import { OTHER_BUSINESS, type Result, refused } from '../result'

/** Why a change of the books is refused; the words say it in full. */
export type MoneyReason =
  | 'not-found'
  | 'not-a-draft'
  | 'not-ready'
  | 'total-changed'
  | 'date-order'
  | 'overpaid'
  | 'too-much'
  | 'already-so'
  | 'does-not-fit'

export type MoneyContext = AuditedContext

export type MoneyResult<Value> = Promise<Result<Value, MoneyReason>>

/** Many invoices issued at once wait for one number series, and for a connection; they are patient rather than refused. */
const PATIENT = { waitMs: 60_000, timeoutMs: 60_000 }

/** Runs one change of the books: for the actor's own business, by somebody who may, once per command id. */
export async function changeMoney<
  Input extends { id: string; businessId: string },
  Value extends Prisma.InputJsonValue,
>(
  actor: Actor,
  { action, kind }: { action: Extract<Action, 'money.change' | 'payment.record'>; kind: string },
  input: Input,
  apply: (context: MoneyContext) => Promise<Result<Value, MoneyReason>>,
): MoneyResult<Value> {
  if (input.businessId !== actor.businessId) return OTHER_BUSINESS
  if (!mayDo(actor.roles, action)) {
    const words =
      action === 'money.change' ? 'Only the owner changes invoices and prices.' : 'Payments are not yours to record.'
    return { ok: false, reason: 'not-allowed', words }
  }
  const envelope = { id: input.id, kind, payload: asJson(input) }
  return runCommand(actor, envelope, (context) => apply(audited(context, actor)), PATIENT)
}

/** The same words for an invoice that is not there or is another business's. */
export function noSuchInvoice() {
  return refused('not-found', 'This invoice is not in the books any more. Reload the page.')
}

/**
 * Locks an invoice's row until the transaction ends, so that editing, issuing, crediting and paying wait for each other.
 * Null when there is none.
 */
export async function lockInvoice({ tx, actor }: MoneyContext, invoiceId: string) {
  const rows = await tx.$queryRaw<{ state: string; documentType: string; number: string | null }[]>`
    SELECT state, document_type AS "documentType", number FROM invoice
    WHERE business_id = ${actor.businessId}::uuid AND id = ${invoiceId}::uuid FOR UPDATE`
  return rows[0] ?? null
}

/** Locks a draft; refuses in words what is no draft any more. */
export async function lockDraft(context: MoneyContext, invoiceId: string) {
  const held = await lockInvoice(context, invoiceId)
  if (!held) return noSuchInvoice()
  if (held.state === 'draft') return null
  return refused('not-a-draft', `${held.number} is issued and cannot change. Write a credit note instead.`)
}
