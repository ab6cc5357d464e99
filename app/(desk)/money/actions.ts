'use server'
import { revalidatePath } from 'next/cache'
import type { z } from 'zod'
import type { Actor } from '@/lib/office/actor'
import {
  addPriceItem,
  archivePriceItem,
  correctPayment,
  creditInvoice,
  discardDraft,
  editDraft,
  editPriceItem,
  issueInvoice,
  type MoneyReason,
  makeDrafts,
  recordPayment,
  startDraft,
} from '@/lib/office/money/commands'
import {
  correctPaymentSchema,
  creditInvoiceSchema,
  editDraftSchema,
  editPriceItemSchema,
  issueInvoiceSchema,
  makeDraftsSchema,
  oneDraftSchema,
  onePriceItemSchema,
  priceItemSchema,
  recordPaymentSchema,
  startDraftSchema,
} from '@/lib/office/money/schema'
import type { Action } from '@/lib/office/people/role-actions'
import { requireActor } from '@/lib/office/people/session'
import { OTHER_BUSINESS, type Result } from '@/lib/office/result'

type Command<Input, Value> = (actor: Actor, input: Input) => Promise<Result<Value, MoneyReason>>

/** Who asks, what was typed, one command, and the pages that show it. */
async function run<Input extends { businessId: string }, Value>(
  action: Action,
  schema: z.ZodType<Input>,
  input: unknown,
  command: Command<Input, Value>,
): Promise<Result<Value, MoneyReason>> {
  const actor = await requireActor(action)
  const parsed = schema.safeParse(input)
  if (!parsed.success) return { ok: false, reason: 'invalid', fields: fieldsOf(parsed.error) }
  if (parsed.data.businessId !== actor.businessId) return OTHER_BUSINESS
  const result = await command(actor, parsed.data)
  if (result.ok) {
    revalidatePath('/money', 'layout')
    revalidatePath('/books')
  }
  return result
}

/** Messages by their full path, "lines.2.quantity", so that each lands beside its own field. */
function fieldsOf(error: z.ZodError): Record<string, string[]> {
  const fields: Record<string, string[]> = {}
  for (const { path, message } of error.issues) {
    const name = path.join('.')
    fields[name] = [...(fields[name] ?? []), message]
  }
  return fields
}

export async function makeDraftsAction(input: unknown) {
  return run('money.change', makeDraftsSchema, input, makeDrafts)
}

export async function startDraftAction(input: unknown) {
  return run('money.change', startDraftSchema, input, startDraft)
}

export async function editDraftAction(input: unknown) {
  return run('money.change', editDraftSchema, input, editDraft)
}

export async function discardDraftAction(input: unknown) {
  return run('money.change', oneDraftSchema, input, discardDraft)
}

export async function issueInvoiceAction(input: unknown) {
  return run('money.change', issueInvoiceSchema, input, issueInvoice)
}

export async function creditInvoiceAction(input: unknown) {
  return run('money.change', creditInvoiceSchema, input, creditInvoice)
}

export async function recordPaymentAction(input: unknown) {
  return run('payment.record', recordPaymentSchema, input, recordPayment)
}

export async function correctPaymentAction(input: unknown) {
  return run('payment.record', correctPaymentSchema, input, correctPayment)
}

export async function addPriceItemAction(input: unknown) {
  return run('money.change', priceItemSchema, input, addPriceItem)
}

export async function editPriceItemAction(input: unknown) {
  return run('money.change', editPriceItemSchema, input, editPriceItem)
}

export async function archivePriceItemAction(input: unknown) {
  return run('money.change', onePriceItemSchema, input, archivePriceItem)
}
