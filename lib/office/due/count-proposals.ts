import 'server-only'
import { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'

/** Due items that ask for another interval, of devices in service. */
export const proposalsOf = (businessId: string) =>
  ({
    businessId,
    proposal: { not: Prisma.DbNull },
    equipment: { removedOn: null },
    tank: { archivedAt: null, mergedIntoId: null },
  }) satisfies Prisma.DueItemWhereInput

/**
 * How many devices have a proposal, and in how many questions (a care task that goes from one interval to another); for a count beside a
 * link.
 */
export async function countProposals(
  tx: Transaction,
  businessId: string,
): Promise<{ devices: number; groups: number }> {
  const [count] = await tx.$queryRaw<{ devices: number; groups: number }[]>`
    SELECT count(*)::int AS devices,
      count(DISTINCT (due.care_task, due.proposal -> 'formerDays', due.proposal -> 'intervalDays'))::int AS groups
    FROM due_item due
    JOIN equipment ON equipment.business_id = due.business_id AND equipment.id = due.equipment_id AND equipment.removed_on IS NULL
    JOIN tank ON tank.business_id = due.business_id AND tank.id = due.tank_id AND tank.archived_at IS NULL AND tank.merged_into_id IS NULL
    WHERE due.business_id = ${businessId}::uuid AND due.proposal IS NOT NULL`
  return count ?? { devices: 0, groups: 0 }
}
