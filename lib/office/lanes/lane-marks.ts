import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'

/** One thing in the past of a lane, as the lanes chart draws it. `day` counts from 1970-01-01, local to the site. */
export type LaneMark = {
  day: number
  kind: 'looked' | 'found' | 'renewed' | 'reported'
  /** The visit behind it. */
  visitId: string | null
}

type LaneKey = { equipmentId: string; failureMode: string }

const keyOf = ({ equipmentId, failureMode }: LaneKey) => `${equipmentId} ${failureMode}`

/**
 * The past of a few lanes, read from what happened: by day, inside a day report, look, renewal. Marks are not stored with the
 * lane: a business has millions and a page shows a few hundred.
 */
export async function withMarks<L extends LaneKey>(
  tx: Transaction,
  businessId: string,
  lanes: readonly L[],
): Promise<(L & { marks: LaneMark[] })[]> {
  const equipmentIds = lanes.map((lane) => lane.equipmentId)
  const failureModes = lanes.map((lane) => lane.failureMode)
  const rows = await tx.$queryRaw<(LaneKey & LaneMark)[]>`
    WITH shown AS (SELECT * FROM unnest(${equipmentIds}::uuid[], ${failureModes}::text[]) shown (equipment_id, failure_mode))
    SELECT equipment_id AS "equipmentId", failure_mode AS "failureMode", day, kind, visit_id AS "visitId" FROM (
      SELECT f.equipment_id, f.failure_mode, f.found_on - DATE '1970-01-01' AS day,
        CASE WHEN f.learned_by = 'report' THEN 'reported' WHEN f.as_found = 'ok' THEN 'looked' ELSE 'found' END AS kind,
        CASE WHEN f.learned_by = 'report' THEN 1 ELSE 2 END AS turn, f.visit_id, f.made_at, f.device_seq, f.id
      FROM finding f JOIN shown USING (equipment_id, failure_mode)
      WHERE f.business_id = ${businessId}::uuid AND (f.learned_by = 'report' OR f.as_found <> 'not_looked')
        AND NOT EXISTS (SELECT 1 FROM finding c WHERE c.business_id = f.business_id AND c.corrects_id = f.id)
      UNION ALL
      SELECT r.equipment_id, r.failure_mode, r.renewed_on - DATE '1970-01-01', 'renewed', 3, r.visit_id, r.made_at, r.device_seq, r.id
      FROM renewal r JOIN shown USING (equipment_id, failure_mode)
      WHERE r.business_id = ${businessId}::uuid AND NOT r.is_partial
        AND NOT EXISTS (SELECT 1 FROM renewal c WHERE c.business_id = r.business_id AND c.corrects_id = r.id)
    ) happened ORDER BY day, turn, made_at, device_seq, id`
  const marks = new Map<string, LaneMark[]>(lanes.map((lane) => [keyOf(lane), []]))
  for (const { day, kind, visitId, ...lane } of rows) marks.get(keyOf(lane))?.push({ day, kind, visitId })
  return lanes.map((lane) => ({ ...lane, marks: marks.get(keyOf(lane)) ?? [] }))
}
