import 'server-only'
import { insertRows } from '@/lib/platform/db/insert-rows'
import type { Transaction } from '@/lib/platform/db/scope'
import { sqlOf } from '@/lib/platform/db/sql'
import { derivedPart, tanksOf } from './derive-parts'
import { rerankTouched } from './rank-faults'
import { NO_MODELS, readLanes, readModels, readSettings } from './read-history'
import { markStale, takeLanes } from './stale-lanes'

/**
 * Makes the lanes of these devices again, in the transaction that changed them (a visit, a swap, a correction), with what
 * hangs on them: their due items, and the rank of each class × mode touched (in a large business soon after, as a job).
 * While all lanes of the business are being made again nobody waits: these are marked, and made right afterwards.
 */
export async function recomputeDue(
  tx: Transaction,
  businessId: string,
  equipmentIds: readonly string[],
): Promise<void> {
  if (equipmentIds.length === 0) return
  if (!(await takeLanes(tx, businessId))) return markStale(tx, businessId, equipmentIds)
  const siblings = await withSiblings(tx, businessId, equipmentIds)
  const ids = siblings.map(({ id }) => id)
  const classes = [...new Set(siblings.map(({ equipmentClass }) => equipmentClass))]
  const models = (await readModels(tx, businessId, { classes })) ?? NO_MODELS
  const before = await tx.lane.findMany({
    where: { businessId, equipmentId: { in: ids } },
    select: { equipmentClass: true, failureMode: true },
  })
  await tx.lane.deleteMany({ where: { businessId, equipmentId: { in: ids } } })
  await tx.dueItem.deleteMany({ where: { businessId, equipmentId: { in: ids } } })
  const lanes = await readLanes(tx, businessId, { equipmentIds: ids }, models.cutoffDay)
  const settings = await readSettings(tx, businessId, tanksOf(lanes))
  const { rows } = derivedPart(businessId, lanes, models, settings)
  for (const packed of rows) await insertRows(sqlOf(tx), packed)
  await rerankTouched(tx, businessId, [...before, ...lanes], models.version)
}

/**
 * These devices and those of the same class in the same tank, locked: what one of them teaches about the tank holds for all. In the
 * order of ids, so that two visits at once never wait for each other.
 */
async function withSiblings(tx: Transaction, businessId: string, equipmentIds: readonly string[]) {
  return tx.$queryRaw<{ id: string; equipmentClass: string }[]>`
    WITH own AS (
      SELECT DISTINCT coalesce(tank.merged_into_id, tank.id) AS home_id, equipment.equipment_class FROM equipment
      JOIN tank ON tank.business_id = equipment.business_id AND tank.id = equipment.tank_id
      WHERE equipment.business_id = ${businessId}::uuid AND equipment.id = ANY (${[...equipmentIds]}::uuid[])),
    home AS (
      SELECT own.home_id AS tank_id, equipment_class FROM own
      UNION ALL
      SELECT tank.id, equipment_class FROM own JOIN tank ON tank.business_id = ${businessId}::uuid AND tank.merged_into_id = own.home_id)
    SELECT sibling.id, sibling.equipment_class AS "equipmentClass" FROM home JOIN equipment sibling ON sibling.business_id = ${businessId}::uuid
      AND sibling.tank_id = home.tank_id AND sibling.equipment_class = home.equipment_class
    ORDER BY sibling.id FOR UPDATE OF sibling`
}

/** After a change of cadence or costs: the lanes of these tanks and of those merged into them. */
export async function recomputeDueAtTanks(
  tx: Transaction,
  businessId: string,
  tankIds: readonly string[],
): Promise<void> {
  const rows = await tx.equipment.findMany({
    where: { businessId, tank: { OR: [{ id: { in: [...tankIds] } }, { mergedIntoId: { in: [...tankIds] } }] } },
    select: { id: true },
  })
  await recomputeDue(
    tx,
    businessId,
    rows.map((row) => row.id),
  )
}
