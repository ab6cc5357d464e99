import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Actor } from '../actor'
import { type AuditedContext, asJson, audited } from '../audited'
import { runCommand } from '../command'
import { mayDo } from '../people/role-actions'
import { OTHER_BUSINESS, type Result, refused } from '../result'

/** Why a change of lots is refused; the words say it in full. */
export type LotReason = 'not-found' | 'already-so'
export type LotResult<Value> = Promise<Result<Value, LotReason>>

/** Runs one change of lots: for the actor's own business, by somebody who may, once per command id. */
export async function changeLots<
  Input extends { commandId: string; businessId: string },
  Value extends Prisma.InputJsonValue,
>(
  actor: Actor,
  kind: string,
  input: Input,
  apply: (context: AuditedContext) => Promise<Result<Value, LotReason>>,
): LotResult<Value> {
  if (input.businessId !== actor.businessId) return OTHER_BUSINESS
  if (!mayDo(actor.roles, 'parts.change'))
    return { ok: false, reason: 'not-allowed', words: 'Only owner and technicians change lots.' }
  return runCommand(actor, { id: input.commandId, kind, payload: asJson(input) }, (context) =>
    apply(audited(context, actor)),
  )
}

export const NO_LOT = refused('not-found', 'This lot is not in the list any more. Reload the page.')
