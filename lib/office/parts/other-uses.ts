import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import type { CountedSource } from '@/lib/science'
import { dateOfDay } from '../lanes/day-numbers'

const WINDOW_DAYS = 365
/** A shorter record says next to nothing about a rate. Common practice, no source. */
const LEAST_WINDOW_DAYS = 28

/**
 * What was used up without any of the work behind it that the lives foresee: for each part its count over the last year, or over the time since parts are
 * recorded. Uses of several units at once stay so: as many uses of Σq² / Σq units as give the same sum, and the same spread. A use counts as foreseen where the same visit renewed something by work that uses the part. Parts without such uses are left out.
 */
export async function otherUses(
  tx: Transaction,
  businessId: string,
  todayDay: number,
): Promise<Map<string, CountedSource>> {
  const rows = await tx.$queryRaw<{ partId: string; count: number; quantity: number; firstDay: number }[]>`
    SELECT used.part_id AS "partId", (sum(used.quantity) ^ 2 / sum(used.quantity ^ 2))::float AS count,
      (sum(used.quantity ^ 2) / sum(used.quantity))::float AS quantity,
      (SELECT min(first.used_on) - DATE '1970-01-01' FROM part_used first
        WHERE first.business_id = ${businessId}::uuid AND first.part_id IS NOT NULL)::int AS "firstDay"
    FROM part_used used
    WHERE used.business_id = ${businessId}::uuid AND used.part_id IS NOT NULL AND used.quantity > 0
      AND used.used_on > ${dateOfDay(todayDay - WINDOW_DAYS)}::date
      AND NOT EXISTS (SELECT 1 FROM part_used later WHERE later.business_id = used.business_id AND later.corrects_id = used.id)
      AND NOT EXISTS (
        SELECT 1 FROM renewal JOIN part_fit fit ON fit.business_id = renewal.business_id AND fit.care_task = renewal.care_task
          AND (fit.equipment_id IS NULL OR fit.equipment_id = renewal.equipment_id)
        WHERE renewal.business_id = used.business_id AND renewal.visit_id = used.visit_id AND fit.part_id = used.part_id)
    GROUP BY used.part_id`
  return new Map(
    rows.map(({ partId, count, quantity, firstDay }) => [
      partId,
      { count, quantity, exposure: Math.min(WINDOW_DAYS, Math.max(LEAST_WINDOW_DAYS, todayDay - firstDay)) },
    ]),
  )
}
