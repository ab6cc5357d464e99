import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'

/** The first day of which anything is on record of a tank, `2026-11-25`: a visit, a look or a renewal. Null where there is nothing. */
export async function firstDayOnRecord(tx: Transaction, businessId: string, tankId: string): Promise<string | null> {
  const [row] = await tx.$queryRaw<{ day: string | null }[]>`
    WITH home AS (SELECT id FROM tank WHERE business_id = ${businessId}::uuid AND coalesce(merged_into_id, id) = ${tankId}::uuid)
    SELECT to_char(least(
      (SELECT min(local_date) FROM visit WHERE business_id = ${businessId}::uuid AND tank_id IN (SELECT id FROM home) AND state = 'done'),
      (SELECT min(coalesce(reported_on, found_on)) FROM finding WHERE business_id = ${businessId}::uuid AND tank_id IN (SELECT id FROM home)),
      (SELECT min(renewed_on) FROM renewal WHERE business_id = ${businessId}::uuid AND tank_id IN (SELECT id FROM home))
    ), 'YYYY-MM-DD') AS day`
  return row?.day ?? null
}

const DAY = new Intl.DateTimeFormat('en-GB', { timeZone: 'UTC', day: 'numeric', month: 'short', year: 'numeric' })

/** Why a day cannot part the needs of a tank in before and since; null where it can. `isRemedy`: what acts from that day. */
export function whyNotThatDay(
  day: string,
  { today, first, isRemedy }: { today: string; first: string | null; isRemedy: boolean },
): string | null {
  if (day > today)
    return isRemedy
      ? 'This day is still to come. Write it down once it is done.'
      : 'This day is still to come: nothing has happened since then.'
  if (first !== null && day < first)
    return `Nothing is on record of this tank before ${DAY.format(new Date(first))}: choose that day or a later one.`
  return null
}
