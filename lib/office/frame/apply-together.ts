import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from './actor'
import { type Addressed, type Refusal, rowOf } from './command-log'
import { type Action, mayDo } from './role-actions'

type Answer = { ok: true; value: Prisma.InputJsonValue } | Refusal

/** Nothing of it is kept. */
class RolledBack extends Error {
  constructor(readonly refusal: Refusal | null) {
    super('rolled back')
  }
}

/**
 * Applies several commands that are about one thing in one transaction, as one after the other would do it: all of them, or none where one is
 * refused. `apply` answers what each command answers, or the refusal. Null where one of them is known already or may not be sent: nothing is kept
 * then either, and each gets its own answer when it is sent by itself. Errors: what `apply` throws.
 */
export async function applyTogether<Input extends Addressed>(
  actor: Actor,
  may: Action,
  sent: readonly { kind: string; input: Input; sent: unknown }[],
  apply: (tx: Transaction) => Promise<Answer>,
): Promise<Answer | null> {
  if (!mayDo(actor.roles, may) || sent.some(({ input }) => input.businessId !== actor.businessId)) return null
  const rows = sent.map((one) => rowOf(actor, one.kind, one.input, one.sent))
  try {
    return await inBusiness(actor, async (tx) => {
      const { count } = await tx.command.createMany({
        data: rows.map((row) => ({ ...row, status: 'applied' })),
        skipDuplicates: true,
      })
      if (count !== rows.length) throw new RolledBack(null)
      const answer = await apply(tx)
      if (!answer.ok) throw new RolledBack(answer)
      const where = { businessId: actor.businessId, id: { in: rows.map(({ id }) => id) } }
      await tx.command.updateMany({ where, data: { result: answer.value } })
      return answer
    })
  } catch (error) {
    if (error instanceof RolledBack) return error.refusal
    throw error
  }
}
