import 'server-only'
import { dayIn } from '../frame/days'
import type { Question } from '../frame/stored-answer'
import { dateOfDay, dayOf } from '../lanes/day-numbers'

export type PartUse = {
  description: string
  quarter: number
  year: number
  tanks: number
  lastUsedOn: string
  unbilled: number
}

const DAYS_PER_QUARTER = 91
const DAYS_PER_YEAR = 365
const LIST_MAX = 200

/**
 * What went off the vans: quantities per part over the last quarter and year, at how many tanks, and how often it still waits
 * for an invoice. Most used first.
 */
export const PARTS_USED: Question<PartUse[]> = {
  name: 'parts-used',
  shape: 1,
  freshForMs: 60 * 60_000,
  workOut: async (tx, businessId, now) => {
    const { timeZone } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } })
    const todayDay = dayOf(new Date(dayIn(timeZone, now)))
    const [quarterFrom, yearFrom] = [dateOfDay(todayDay - DAYS_PER_QUARTER), dateOfDay(todayDay - DAYS_PER_YEAR)]
    return tx.$queryRaw<PartUse[]>`
      SELECT used.description, coalesce(sum(used.quantity) FILTER (WHERE used.used_on >= ${quarterFrom}::date), 0)::float AS quarter,
        sum(used.quantity)::float AS year, count(DISTINCT used.tank_id)::int AS tanks,
        to_char(max(used.used_on), 'YYYY-MM-DD') AS "lastUsedOn",
        (count(*) FILTER (WHERE used.billable AND NOT EXISTS (
          SELECT 1 FROM invoice_line line WHERE line.business_id = used.business_id AND line.part_used_id = used.id)))::int AS unbilled
      FROM part_used used
      WHERE used.business_id = ${businessId}::uuid AND used.used_on >= ${yearFrom}::date AND used.quantity > 0
        AND NOT EXISTS (SELECT 1 FROM part_used later WHERE later.business_id = used.business_id AND later.corrects_id = used.id)
      GROUP BY used.description ORDER BY year DESC, used.description LIMIT ${LIST_MAX}`
  },
}
