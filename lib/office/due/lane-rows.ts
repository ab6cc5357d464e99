import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'

/** One thing that happened to a device × mode, as the database has it; ordered as the rules must read it. */
export type LaneRow = {
  equipmentId: string
  failureMode: string
  kind: 'report' | 'look' | 'renewal'
  /** Days since 1970-01-01, local to the site. */
  day: number
  visitId: string | null
  imported: boolean
  asFound: string | null
  depth: string | null
  reportedDay: number | null
  sure: boolean | null
  cureConfidence: string | null
  reason: string | null
  isPartial: boolean | null
}

export type DeviceRow = {
  id: string
  tankId: string
  slotId: string
  equipmentClass: string
  installedDay: number | null
  installedConfirmedNew: boolean
  installedByUs: boolean
  removedDay: number | null
  removedBecauseMode: string | null
}

/** Devices of these tanks (or only these devices), archived tanks and merged ones included: their history counts. */
export function readDevices(
  tx: Transaction,
  businessId: string,
  only: { tankIds: string[] } | { equipmentIds: string[] },
): Promise<DeviceRow[]> {
  const byTank = 'tankIds' in only
  const ids = byTank ? only.tankIds : only.equipmentIds
  return tx.$queryRaw<DeviceRow[]>`
    SELECT equipment.id, coalesce(tank.merged_into_id, tank.id) AS "tankId", slot_id AS "slotId", equipment_class AS "equipmentClass",
      installed_on - DATE '1970-01-01' AS "installedDay", installed_confirmed_new AS "installedConfirmedNew",
      (replaces_id IS NOT NULL AND equipment.import_batch_id IS NULL) AS "installedByUs",
      removed_on - DATE '1970-01-01' AS "removedDay", removed_because_mode AS "removedBecauseMode"
    FROM equipment JOIN tank ON tank.business_id = equipment.business_id AND tank.id = equipment.tank_id
    WHERE equipment.business_id = ${businessId}::uuid
      AND ((${byTank} AND coalesce(tank.merged_into_id, tank.id) = ANY (${ids}::uuid[]))
        OR (NOT ${byTank} AND equipment.id = ANY (${ids}::uuid[])))
    ORDER BY equipment.id`
}

/**
 * Findings, reports and renewals of these devices that no later row corrects, in the order of the rules: by device, mode and
 * day; inside a day report, look, renewal (a task's own look is recorded before what it renews); then as made.
 */
export function readLaneRows(tx: Transaction, businessId: string, equipmentIds: string[]): Promise<LaneRow[]> {
  return tx.$queryRaw<LaneRow[]>`
    SELECT "equipmentId", "failureMode", kind, day, "visitId", imported, "asFound", depth, "reportedDay", sure,
      "cureConfidence", reason, "isPartial"
    FROM (
      SELECT f.equipment_id AS "equipmentId", f.failure_mode AS "failureMode",
        CASE WHEN f.learned_by = 'report' THEN 'report' ELSE 'look' END AS kind,
        CASE WHEN f.learned_by = 'report' THEN 1 ELSE 2 END AS turn,
        f.found_on - DATE '1970-01-01' AS day, f.visit_id AS "visitId", f.import_batch_id IS NOT NULL AS imported,
        f.as_found AS "asFound", f.depth, f.reported_on - DATE '1970-01-01' AS "reportedDay", f.reported_sure AS sure,
        f.cure_confidence AS "cureConfidence", NULL::text AS reason, NULL::boolean AS "isPartial", f.made_at, f.device_seq, f.id
      FROM finding f
      WHERE f.business_id = ${businessId}::uuid AND f.equipment_id = ANY (${equipmentIds}::uuid[])
        AND NOT EXISTS (SELECT 1 FROM finding c WHERE c.business_id = f.business_id AND c.corrects_id = f.id)
      UNION ALL
      SELECT r.equipment_id, r.failure_mode, 'renewal', 3, r.renewed_on - DATE '1970-01-01', r.visit_id,
        r.import_batch_id IS NOT NULL, NULL, NULL, NULL, NULL, NULL, r.reason, r.is_partial, r.made_at, r.device_seq, r.id
      FROM renewal r
      WHERE r.business_id = ${businessId}::uuid AND r.equipment_id = ANY (${equipmentIds}::uuid[])
        AND NOT EXISTS (SELECT 1 FROM renewal c WHERE c.business_id = r.business_id AND c.corrects_id = r.id)
    ) happened
    ORDER BY "equipmentId", "failureMode", day, turn, made_at, device_seq, id`
}
