import 'server-only'
import { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { addDays, dayIn } from '../frame/days'

/** A visit whose day is over at its site: nothing was logged, so it was not done, or it was begun and nobody has ended it. */
export type VisitNotDone = {
  begun: boolean
  visitId: string
  tankId: string
  tankName: string
  siteName: string
  clientName: string
  date: string
  technicianId: string | null
  technician: string
}
export type VisitsNotDone = { visits: VisitNotDone[]; total: number }

const SHOWN_AT_MOST = 20

/** As of when a booked visit counts as missed: an instant (each site's own day then), or a day that is the same for all. */
export type AsOf = { now: Date } | { today: string }

/** The first day, as SQL, on which a booked visit of the table `visit` still stands for one to come. */
export function firstDayAhead(asOf: AsOf): Prisma.Sql {
  return 'today' in asOf
    ? Prisma.sql`${asOf.today}::date`
    : Prisma.sql`(${asOf.now}::timestamptz AT TIME ZONE visit.time_zone)::date`
}

/** What is done with a visit at the desk, before anybody comes. */
const PLANNING = ['visit.book', 'visit.move', 'visit.cancel']

/**
 * Visits that were missed, or begun and never ended, and neither moved, ended nor cancelled since, the newest first; of one technician, or of all.
 * A missed one is settled as well once somebody has been at the tank later. Reads visits of days past that are not ended
 * (index `visit_not_ended_by_day`), never the history.
 */
export async function visitsNotDone(
  tx: Transaction,
  businessId: string,
  now: Date,
  technicianId?: string,
): Promise<VisitsNotDone> {
  // No place is further ahead of UTC than 14 hours: from there on no day is over anywhere.
  const latest = addDays(dayIn('UTC', now), 1)
  const rows = await tx.$queryRaw<(VisitNotDone & { total: number })[]>`
    SELECT visit.id AS "visitId", logged.begun, visit.tank_id AS "tankId", tank.name AS "tankName", site.name AS "siteName",
      client.name AS "clientName", visit.local_date::text AS date, visit.technician_id AS "technicianId",
      coalesce(person.name, '') AS technician, (count(*) OVER ())::int AS total
    FROM visit
    JOIN tank ON tank.business_id = visit.business_id AND tank.id = visit.tank_id
    JOIN site ON site.business_id = visit.business_id AND site.id = visit.site_id
    JOIN client ON client.business_id = visit.business_id AND client.id = visit.client_id
    LEFT JOIN person ON person.business_id = visit.business_id AND person.id = visit.technician_id
    CROSS JOIN LATERAL (SELECT visit.state = 'under_way' OR EXISTS (
      SELECT 1 FROM command said WHERE said.business_id = visit.business_id AND said.visit_id = visit.id
        AND said.status = 'applied' AND said.kind <> ALL (${PLANNING})) AS begun) logged
    WHERE visit.business_id = ${businessId}::uuid AND visit.state IN ('booked', 'under_way')
      AND visit.local_date < ${latest}::date AND visit.local_date < ${firstDayAhead({ now })}
      AND (visit.arrived_at IS NULL OR (visit.arrived_at AT TIME ZONE visit.time_zone)::date < ${firstDayAhead({ now })})
      AND (logged.begun OR NOT EXISTS (
        SELECT 1 FROM visit later WHERE later.business_id = visit.business_id AND later.tank_id = visit.tank_id
          AND later.local_date > visit.local_date AND later.state = 'done' AND later.outcome IS DISTINCT FROM 'no_access'))
      ${technicianId === undefined ? Prisma.empty : Prisma.sql`AND visit.technician_id = ${technicianId}::uuid`}
      AND tank.archived_at IS NULL AND tank.merged_into_id IS NULL
    ORDER BY visit.local_date DESC, visit.planned_start NULLS LAST, visit.id LIMIT ${SHOWN_AT_MOST}`
  return { visits: rows.map(({ total: _, ...visit }) => visit), total: rows[0]?.total ?? 0 }
}
