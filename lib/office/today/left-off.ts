import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { SWITCHABLE } from '@/lib/trade/restart-order'
import { addDays } from '../frame/days'

const LOOK_BACK_DAYS = 60
const SHOWN_AT_MOST = 25

export type LeftOff = {
  tankId: string
  tankName: string
  siteName: string
  /** What was switched off and never on again, in words. */
  devices: string[]
  /** The day of the visit that switched it off. */
  date: string
  technician: string
  bookedOn: string | null
}

type Row = Omit<LeftOff, 'devices'> & { slugs: string[] }

/**
 * Tanks at which a visit that is over left something switched off. A later visit that ended as planned answers it: by its leaving check everything runs. `bookedOn`: the next visit.
 */
export async function devicesLeftOff(tx: Transaction, businessId: string, today: string): Promise<LeftOff[]> {
  const rows = await tx.$queryRaw<Row[]>`
    WITH switching AS (
      SELECT DISTINCT ON (event.visit_id, device.slug) event.visit_id, device.slug, event.kind
      FROM visit_event event
      JOIN visit ON visit.business_id = event.business_id AND visit.id = event.visit_id
      CROSS JOIN LATERAL jsonb_array_elements_text(event.detail -> 'devices') device(slug)
      WHERE event.business_id = ${businessId}::uuid AND event.kind IN ('switched-off', 'switched-on') AND event.command_id IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM visit_event back WHERE back.business_id = event.business_id AND back.visit_id = event.visit_id
          AND back.kind = 'taken-back' AND back.detail ->> 'takesBack' = event.command_id::text)
        AND visit.state = 'done' AND visit.local_date BETWEEN ${addDays(today, -LOOK_BACK_DAYS)}::date AND ${today}::date
      ORDER BY event.visit_id, device.slug, event.at DESC, event.id DESC
    )
    SELECT tank.id AS "tankId", tank.name AS "tankName", site.name AS "siteName", array_agg(switching.slug) AS slugs,
      visit.local_date::text AS date, coalesce(person.name, '') AS technician,
      (SELECT min(ahead.local_date)::text FROM visit ahead WHERE ahead.business_id = tank.business_id
        AND ahead.tank_id = tank.id AND ahead.state = 'booked' AND ahead.local_date >= ${today}::date) AS "bookedOn"
    FROM switching
    JOIN visit ON visit.business_id = ${businessId}::uuid AND visit.id = switching.visit_id
    JOIN tank ON tank.business_id = visit.business_id AND tank.id = visit.tank_id
    JOIN site ON site.business_id = tank.business_id AND site.id = tank.site_id
    LEFT JOIN person ON person.business_id = visit.business_id AND person.id = visit.technician_id
    WHERE switching.kind = 'switched-off' AND tank.archived_at IS NULL AND tank.merged_into_id IS NULL
      AND NOT EXISTS (
        SELECT 1 FROM visit later WHERE later.business_id = visit.business_id AND later.tank_id = visit.tank_id AND later.id <> visit.id
          AND later.state = 'done' AND later.outcome = 'done' AND coalesce(later.left_at, later.created_at) > coalesce(visit.left_at, visit.created_at))
    GROUP BY tank.business_id, tank.id, tank.name, site.name, visit.id, visit.local_date, person.name
    ORDER BY visit.local_date DESC, tank.id LIMIT ${SHOWN_AT_MOST}`
  return rows.map(({ slugs, ...row }) => ({
    ...row,
    devices: SWITCHABLE.filter(({ slug }) => slugs.includes(slug)).map(({ name }) => name),
  }))
}
