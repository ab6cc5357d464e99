import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Actor } from '../actor'
import { type AuditedContext, asJson, audited } from '../audited'
import { addDays, dayIn } from '../clients/days'
import { runCommand } from '../command'
import { mayDo } from '../people/role-actions'
import { OTHER_BUSINESS, type Result, refused } from '../result'

/** Why a change of parts or stock is refused; the words say it in full. */
export type PartsReason = 'not-found' | 'does-not-fit' | 'already-so' | 'in-use'
export type PartsContext = AuditedContext
export type PartsResult<Value> = Promise<Result<Value, PartsReason>>

/** Runs one change of parts or stock: for the actor's own business, by somebody who may, once per command id. */
export async function changeParts<
  Input extends { commandId: string; businessId: string },
  Value extends Prisma.InputJsonValue,
>(
  actor: Actor,
  kind: string,
  input: Input,
  apply: (context: PartsContext) => Promise<Result<Value, PartsReason>>,
): PartsResult<Value> {
  if (input.businessId !== actor.businessId) return OTHER_BUSINESS
  if (!mayDo(actor.roles, 'parts.change'))
    return { ok: false, reason: 'not-allowed', words: 'Only owner and technicians change parts and stock.' }
  return runCommand(actor, { id: input.commandId, kind, payload: asJson(input) }, (context) =>
    apply(audited(context, actor)),
  )
}

/** Whether a day has not come yet, give or take the zones of the world: a mistyped year would swallow all moves until then. */
export async function isAhead({ tx, actor, madeAt }: PartsContext, day: string): Promise<boolean> {
  const { timeZone } = await tx.business.findUniqueOrThrow({
    where: { id: actor.businessId },
    select: { timeZone: true },
  })
  return day > addDays(dayIn(timeZone, madeAt), 1)
}
export const NOT_YET = 'This day has not come yet.'

export const NO_PART = refused('not-found', 'This part is not in the list any more. Reload the page.')
export const NO_PLACE = refused('not-found', 'This place is not in use any more. Reload the page.')
