import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Actor } from '../actor'
import { type AuditedContext, audited } from '../audited'
import { runCommand } from '../command'
import { mayDo } from '../people/role-actions'
import { OTHER_BUSINESS, type Result, refused } from '../result'

/** Why a change of the plan is refused; the words say it in full. */
export type PlanReason = 'not-found' | 'overlap' | 'not-open' | 'does-not-fit'

export type PlanContext = AuditedContext

/** What the exclusion constraint says; it stands behind the check for whoever writes without asking for the lock. */
const BACKSTOP = 'visit_no_overlap'

/** Runs one change of the plan: for the actor's own business, by somebody who may, once per command id. */
export async function changePlan<
  Input extends { commandId: string; businessId: string } & Prisma.InputJsonObject,
  Value extends Prisma.InputJsonValue,
>(
  actor: Actor,
  kind: string,
  input: Input,
  apply: (context: PlanContext) => Promise<Result<Value, PlanReason>>,
): Promise<Result<Value, PlanReason>> {
  if (input.businessId !== actor.businessId) return OTHER_BUSINESS
  if (!mayDo(actor.roles, 'plan.change'))
    return { ok: false, reason: 'not-allowed', words: 'Only the owner changes the plan.' }
  try {
    return await runCommand(actor, { id: input.commandId, kind, payload: input }, (context) =>
      apply(audited(context, actor)),
    )
  } catch (error) {
    if (!isBackstop(error)) throw error
    return refused(
      'overlap',
      'Another visit was booked for this technician at that time just now. Look at their day again, or say yes to the overlap.',
    )
  }
}

/** Locks rows of the plan by their ids, so that two people who change one visit wait for each other. */
export async function lockVisit({ tx, actor }: PlanContext, visitId: string): Promise<void> {
  await tx.$queryRaw`SELECT id FROM visit WHERE business_id = ${actor.businessId}::uuid AND id = ${visitId}::uuid FOR UPDATE`
}

function isBackstop(error: unknown): boolean {
  if (!(error instanceof Error)) return false
  const code = 'code' in error ? String(error.code) : ''
  return `${code} ${error.message} ${JSON.stringify('meta' in error ? error.meta : '')}`.includes(BACKSTOP)
}
