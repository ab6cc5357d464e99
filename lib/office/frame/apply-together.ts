import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from './actor'
import { type Addressed, type CommandRow, rowOf } from './command-log'
import { type Action, mayDo } from './role-actions'

/** Nothing of it is kept: one of the commands must be looked at by itself. */
class OneByOne extends Error {}

/**
 * Applies several commands that are about one thing in one transaction, as one after the other would do it: all of them, where each is new and
 * none is refused. Else nothing is kept and the answer is null: then whoever asks sends them one by one, and each gets its own answer.
 * `apply` answers what each command answers, or null. Errors: what `apply` throws.
 */
export async function applyTogether<Input extends Addressed>(
  actor: Actor,
  may: Action,
  sent: readonly { kind: string; input: Input; sent: unknown }[],
  apply: (tx: Transaction, rows: readonly CommandRow[]) => Promise<Prisma.InputJsonValue | null>,
): Promise<Prisma.InputJsonValue | null> {
  if (!mayDo(actor.roles, may) || sent.some(({ input }) => input.businessId !== actor.businessId)) return null
  const rows = sent.map((one) => rowOf(actor, one.kind, one.input, one.sent))
  try {
    return await inBusiness(actor, async (tx) => {
      const { count } = await tx.command.createMany({
        data: rows.map((row) => ({ ...row, status: 'applied' })),
        skipDuplicates: true,
      })
      const answer = count === rows.length ? await apply(tx, rows) : null
      if (answer === null) throw new OneByOne()
      const where = { businessId: actor.businessId, id: { in: rows.map(({ id }) => id) } }
      await tx.command.updateMany({ where, data: { result: answer } })
      return answer
    })
  } catch (error) {
    if (error instanceof OneByOne) return null
    throw error
  }
}
