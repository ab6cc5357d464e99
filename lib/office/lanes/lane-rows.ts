import 'server-only'
import type { Sql } from '@/lib/platform/db/sql'

/**
 * What happened to a device × mode, one text a lane, because a business has ten million of them: events in the order of the
 * rules, parted by blanks; the fields of each by colons. All fields are numbers or words that the database holds to a list.
 *   day:look:asFound:depth:visit|imported[:cureConfidence] · day:report:sure|unsure[:reportedDay] · day:renewal:reason:whole|partial
 * Days since 1970-01-01, local to the site.
 */
export type LaneRow = { equipmentId: string; failureMode: string; events: string }

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

/** Devices of these tanks, or only these devices, or all; archived tanks and merged ones included: their history counts. */
export function readDevices(
  sql: Sql,
  businessId: string,
  only: { tankIds: string[] } | { equipmentIds: string[] } | 'all',
): Promise<DeviceRow[]> {
  const [which, ids] =
    only === 'all'
      ? ['', []]
      : 'tankIds' in only
        ? ['AND coalesce(tank.merged_into_id, tank.id) = ANY ($2::uuid[])', [only.tankIds]]
        : ['AND equipment.id = ANY ($2::uuid[])', [only.equipmentIds]]
  return sql<DeviceRow>(
    `SELECT equipment.id, coalesce(tank.merged_into_id, tank.id) AS "tankId", slot_id AS "slotId", equipment_class AS "equipmentClass",
      installed_on - DATE '1970-01-01' AS "installedDay", installed_confirmed_new AS "installedConfirmedNew",
      (replaces_id IS NOT NULL AND equipment.import_batch_id IS NULL) AS "installedByUs",
      removed_on - DATE '1970-01-01' AS "removedDay", removed_because_mode AS "removedBecauseMode"
    FROM equipment JOIN tank ON tank.business_id = equipment.business_id AND tank.id = equipment.tank_id
    WHERE equipment.business_id = $1::uuid ${which}
    ORDER BY "tankId", equipment.id`,
    [businessId, ...ids],
  )
}

/**
 * Findings, reports and renewals of these devices that no later row corrects, by device and mode. Events by day; inside a day
 * report, look, renewal (a task's own look is recorded before what it renews); then as made.
 */
export function readLaneRows(sql: Sql, businessId: string, devices: readonly DeviceRow[]): Promise<LaneRow[]> {
  return sql<LaneRow>(LANE_ROWS, [businessId, devices.map((device) => device.id)])
}

// `corrects_id IS NOT NULL` follows from the join; said aloud it lets Postgres read the few corrections once, from their index.
const CURRENT = (
  table: 'finding' | 'renewal',
) => `happened.business_id = $1::uuid AND happened.equipment_id = ANY ($2::uuid[])
    AND NOT EXISTS (SELECT 1 FROM ${table} c WHERE c.business_id = happened.business_id AND c.corrects_id = happened.id
      AND c.corrects_id IS NOT NULL)`

/** The query of `readLaneRows`: `$1` business, `$2` devices. */
const LANE_ROWS = `
  SELECT equipment_id AS "equipmentId", failure_mode AS "failureMode",
    string_agg((day - DATE '1970-01-01')::text || event, ' ' ORDER BY day, turn, made_at, device_seq, id) AS events
  FROM (
    SELECT equipment_id, failure_mode, found_on AS day, CASE WHEN learned_by = 'report' THEN 1 ELSE 2 END AS turn,
      CASE WHEN learned_by = 'report'
        THEN CASE WHEN reported_sure THEN ':report:sure' ELSE ':report:unsure' END
          || coalesce(':' || (reported_on - DATE '1970-01-01')::text, '')
        ELSE ':look:' || as_found || ':' || depth || CASE WHEN import_batch_id IS NULL THEN ':visit' ELSE ':imported' END
          || coalesce(':' || cure_confidence, '') END AS event,
      made_at, device_seq, id
    FROM finding happened WHERE ${CURRENT('finding')}
    UNION ALL
    SELECT equipment_id, failure_mode, renewed_on, 3, ':renewal:' || reason || CASE WHEN is_partial THEN ':partial' ELSE ':whole' END,
      made_at, device_seq, id
    FROM renewal happened WHERE ${CURRENT('renewal')}
  ) happened
  GROUP BY equipment_id, failure_mode ORDER BY equipment_id, failure_mode`
