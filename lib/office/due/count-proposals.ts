import 'server-only'
import { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { storedProposalSchema } from '../lanes/stored-reason'

/** Due items that ask for another interval, of devices in service. */
export const proposalsOf = (businessId: string) =>
  ({
    businessId,
    proposal: { not: Prisma.DbNull },
    equipment: { removedOn: null },
    tank: { archivedAt: null, mergedIntoId: null },
  }) satisfies Prisma.DueItemWhereInput

/** How many devices have a proposal, and in how many questions; for a count beside a link. */
export async function countProposals(
  tx: Transaction,
  businessId: string,
): Promise<{ devices: number; groups: number }> {
  const items = await tx.dueItem.findMany({
    where: proposalsOf(businessId),
    select: { careTask: true, proposal: true },
  })
  const groups = new Set(
    items.map(({ careTask, proposal }) => {
      const { intervalDays, formerDays } = storedProposalSchema.parse(proposal)
      return `${careTask} ${formerDays} ${intervalDays}`
    }),
  )
  return { devices: items.length, groups: groups.size }
}
