import 'server-only'
import { inScope } from '@/lib/platform/db/scope'
import { recomputeDue } from './commands'
import { takeLanes } from './stale-lanes'

/** Tanks made again in one transaction: a visit at one of them waits for no more than these. */
const TANKS_AT_ONCE = 10

/**
 * Makes the lanes again that were marked: at the end of making all of them, and by the worker. In small transactions, so that no visit
 * waits long. While all lanes are being made again it does nothing: whoever does that comes here afterwards.
 */
export async function recomputeStale(who: { businessId: string; personId: string }): Promise<void> {
  for (let more = true; more; ) more = await recomputeSome(who)
}

/** Whether there may be more. */
function recomputeSome(who: { businessId: string; personId: string }): Promise<boolean> {
  const { businessId } = who
  return inScope({ role: 'office', ...who }, async (tx) => {
    if (!(await takeLanes(tx, businessId))) return false
    const marks = await tx.$queryRaw<{ id: string; equipmentId: string }[]>`
      WITH tank AS (
        SELECT DISTINCT equipment.tank_id FROM stale_lane
        JOIN equipment ON equipment.business_id = stale_lane.business_id AND equipment.id = stale_lane.equipment_id
        WHERE stale_lane.business_id = ${businessId}::uuid ORDER BY 1 LIMIT ${TANKS_AT_ONCE})
      SELECT stale_lane.id, stale_lane.equipment_id AS "equipmentId" FROM tank
      JOIN equipment ON equipment.business_id = ${businessId}::uuid AND equipment.tank_id = tank.tank_id
      JOIN stale_lane ON stale_lane.business_id = equipment.business_id AND stale_lane.equipment_id = equipment.id`
    if (marks.length === 0) return false
    await recomputeDue(tx, businessId, [...new Set(marks.map(({ equipmentId }) => equipmentId))])
    await tx.staleLane.deleteMany({ where: { businessId, id: { in: marks.map(({ id }) => id) } } })
    return true
  })
}
