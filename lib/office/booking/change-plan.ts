import 'server-only'
import type { CommandContext } from '../frame/command'
import { refused } from '../frame/result'

/** Why a change of the plan is refused; the words say it in full. */
export type PlanReason = 'not-found' | 'overlap' | 'not-open' | 'does-not-fit'

/** What every change of the plan has. The exclusion constraint stands behind the check for whoever writes without asking for the lock. */
export const PLAN = {
  may: 'plan.change',
  atOnce: {
    visit_no_overlap: refused(
      'overlap',
      'Another visit was booked for this technician at that time just now. Look at their day again, or say yes to the overlap.',
    ),
  },
} as const

/** Locks rows of the plan by their ids, so that two people who change one visit wait for each other. */
export async function lockVisit({ tx, actor }: CommandContext, visitId: string): Promise<void> {
  await tx.$queryRaw`SELECT id FROM visit WHERE business_id = ${actor.businessId}::uuid AND id = ${visitId}::uuid FOR UPDATE`
}
