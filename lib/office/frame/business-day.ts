import 'server-only'
import type { CommandContext } from './command-context'
import { dayIn } from './days'

/** The day of a command where the business is, `2026-11-25`. */
export async function todayOf({ tx, actor, madeAt }: Pick<CommandContext, 'tx' | 'actor' | 'madeAt'>): Promise<string> {
  const { timeZone } = await tx.business.findUniqueOrThrow({
    where: { id: actor.businessId },
    select: { timeZone: true },
  })
  return dayIn(timeZone, madeAt)
}
