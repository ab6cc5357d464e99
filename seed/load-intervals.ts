import type { Actor } from '@/lib/office/frame/actor'
import { decideInterval } from '@/lib/office/intervals/commands'
import { proposedIntervals } from '@/lib/office/intervals/queries'
import { demoId } from './demo-ids'
import { applied } from './expect'

/** So many questions are left for whoever tries the demo. */
const LEFT_OPEN = 3

/** The owner has answered most of what the records propose: yes to all but the newest few questions. */
export async function loadIntervals(owner: Actor, nowMs: number): Promise<void> {
  const { groups } = await proposedIntervals(owner)
  // The middle of the list: neither the largest savings, which any owner takes, nor the smallest.
  const open = new Set(groups.slice(2, 2 + LEFT_OPEN))
  for (const group of groups.filter((one) => !open.has(one)).slice(0, 12)) {
    const { careTask, intervalDays, formerDays, devices } = group
    const words = `interval ${careTask} ${formerDays} ${intervalDays}`
    applied(
      words,
      await decideInterval(owner, {
        ...{ commandId: demoId(nowMs, words), businessId: owner.businessId, careTask, intervalDays, formerDays },
        decision: 'accepted',
        equipmentIds: devices.map(({ equipmentId }) => equipmentId),
      }),
    )
  }
}
