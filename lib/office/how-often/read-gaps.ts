import 'server-only'
import { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import type { InspectionGap } from '@/lib/science'
import { type CountedGap, type GapEvent, gapsOfTank } from '@/lib/trade'
import { dayIn } from '../frame/days'
import type { Question } from '../frame/stored-answer'
import { dayOf } from '../lanes/day-numbers'
import { tanksAtEvenSteps } from '../lanes/tanks-at-even-steps'

/** What our own visits to one tank brought to light, stretch by stretch; `visitId` of the visit that ended it. */
export type TankGaps = { tankId: string; gaps: (CountedGap & { visitId: string })[] }

/** Older visits say little of how it is now, and this bounds what a page reads. Common practice, no source. */
const YEARS_LOOKED_BACK = 2
const DAYS_LOOKED_BACK = YEARS_LOOKED_BACK * 365

type VisitDay = { tankId: string; day: number; visitId: string }
type EventRow = { tankId: string; lane: string; day: number; kind: GapEvent['kind'] }

/**
 * Stretches between our own visits of the last two years: imported visits know no "failed" and no reports, so they stay out. Visits at which
 * nobody got in or work was cut short end no stretch, call-outs neither. A need from before those years that was still open when they began is
 * no new one when it is found again. `tankIds`: only these; all where it is left out.
 */
export async function readGaps(
  tx: Transaction,
  businessId: string,
  todayDay: number,
  tankIds: string[] | null,
): Promise<TankGaps[]> {
  const sinceDay = todayDay - DAYS_LOOKED_BACK
  const ofTanks = await onlyOfTanks(tx, businessId, tankIds)
  const visits = await tx.$queryRaw<VisitDay[]>`
    SELECT DISTINCT ON (1, 2) coalesce(tank.merged_into_id, tank.id) AS "tankId",
      visit.local_date - DATE '1970-01-01' AS day, visit.id AS "visitId"
    FROM visit JOIN tank ON tank.business_id = visit.business_id AND tank.id = visit.tank_id
    WHERE visit.business_id = ${businessId}::uuid AND visit.import_batch_id IS NULL AND visit.state = 'done'
      AND visit.kind <> 'call_out' AND visit.outcome = 'done' AND tank.archived_at IS NULL
      AND visit.local_date >= DATE '1970-01-01' + ${sinceDay}::int ${ofTanks(Prisma.sql`visit.tank_id`)}
    ORDER BY 1, 2, 3`
  const events = await tx.$queryRaw<EventRow[]>`
    -- Told first which findings stand: beside the question of older needs, whose price it guesses far too high, the planner would not look at what a join costs.
    WITH needs AS MATERIALIZED (
      SELECT f.id, f.business_id, f.tank_id, f.equipment_id, f.failure_mode, f.reported_on, f.found_on, f.learned_by, f.as_found, f.made_at, f.device_seq
      FROM finding f
      WHERE f.business_id = ${businessId}::uuid AND f.import_batch_id IS NULL AND f.equipment_id IS NOT NULL
        AND (f.learned_by = 'report' OR f.as_found IN ('needs_it', 'failed')) ${ofTanks(Prisma.sql`f.tank_id`)}
        AND NOT EXISTS (SELECT 1 FROM finding c WHERE c.business_id = f.business_id AND c.corrects_id = f.id))
    SELECT "tankId", lane, day, kind FROM (
      SELECT coalesce(tank.merged_into_id, tank.id) AS "tankId", f.equipment_id || ' ' || f.failure_mode AS lane,
        coalesce(f.reported_on, f.found_on) - DATE '1970-01-01' AS day,
        CASE WHEN f.learned_by = 'report' THEN 'reported' WHEN f.as_found = 'failed' THEN 'failed' ELSE 'found' END AS kind,
        CASE WHEN f.learned_by = 'report' THEN 1 ELSE 2 END AS turn, f.made_at, f.device_seq, f.id
      FROM needs f JOIN tank ON tank.business_id = f.business_id AND tank.id = f.tank_id
      WHERE (f.found_on >= DATE '1970-01-01' + ${sinceDay}::int OR NOT EXISTS (
          SELECT 1 FROM renewal done WHERE done.business_id = f.business_id AND done.equipment_id = f.equipment_id
            AND done.failure_mode = f.failure_mode AND NOT done.is_partial AND done.renewed_on >= f.found_on
            AND done.renewed_on < DATE '1970-01-01' + ${sinceDay}::int
            AND NOT EXISTS (SELECT 1 FROM renewal c WHERE c.business_id = done.business_id AND c.corrects_id = done.id)))
      UNION ALL
      SELECT coalesce(tank.merged_into_id, tank.id), r.equipment_id || ' ' || r.failure_mode,
        r.renewed_on - DATE '1970-01-01', 'renewed', 3, r.made_at, r.device_seq, r.id
      FROM renewal r JOIN tank ON tank.business_id = r.business_id AND tank.id = r.tank_id
      WHERE r.business_id = ${businessId}::uuid AND r.import_batch_id IS NULL AND NOT r.is_partial
        AND r.renewed_on >= DATE '1970-01-01' + ${sinceDay}::int ${ofTanks(Prisma.sql`r.tank_id`)}
        AND NOT EXISTS (SELECT 1 FROM renewal c WHERE c.business_id = r.business_id AND c.corrects_id = r.id)
    ) happened
    ORDER BY "tankId", day, turn, made_at, device_seq, id`
  const eventsOf = byTank(events)
  return [...byTank(visits)].flatMap(([tankId, days]) => {
    const counted = gapsOfTank(
      days.map(({ day }) => day),
      eventsOf.get(tankId) ?? [],
    )
    const visitOn = new Map(days.map(({ day, visitId }) => [day, visitId]))
    const gaps = counted.map((gap) => ({ ...gap, visitId: visitOn.get(gap.toDay) ?? '' }))
    return gaps.length > 0 ? [{ tankId, gaps }] : []
  })
}

/** A condition that leaves rows of these tanks, and of those merged into them, by the indexes of each table; none for all tanks. */
async function onlyOfTanks(
  tx: Transaction,
  businessId: string,
  tankIds: string[] | null,
): Promise<(tankId: Prisma.Sql) => Prisma.Sql> {
  if (tankIds === null) return () => Prisma.empty
  const rows = await tx.tank.findMany({
    where: { businessId, OR: [{ id: { in: tankIds } }, { mergedIntoId: { in: tankIds } }] },
    select: { id: true },
  })
  const ids = rows.map(({ id }) => id)
  return (tankId) => Prisma.sql`AND ${tankId} = ANY (${ids}::uuid[])`
}

export type LeftOutVisits = { cutShort: number; noAccess: number }

/** Visits to one tank in the same years that end no stretch because not everything was looked at. */
export async function readLeftOutVisits(
  tx: Transaction,
  businessId: string,
  todayDay: number,
  tankId: string,
): Promise<LeftOutVisits> {
  const rows = await tx.$queryRaw<{ outcome: string; visits: number }[]>`
    SELECT visit.outcome, count(*)::int AS visits
    FROM visit JOIN tank ON tank.business_id = visit.business_id AND tank.id = visit.tank_id
    WHERE visit.business_id = ${businessId}::uuid AND visit.import_batch_id IS NULL AND visit.state = 'done'
      AND visit.kind <> 'call_out' AND visit.outcome IN ('cut_short', 'no_access')
      AND visit.local_date >= DATE '1970-01-01' + ${todayDay - DAYS_LOOKED_BACK}::int
      AND coalesce(tank.merged_into_id, tank.id) = ${tankId}::uuid
    GROUP BY 1`
  const of = (outcome: string) => rows.find((row) => row.outcome === outcome)?.visits ?? 0
  return { cutShort: of('cut_short'), noAccess: of('no_access') }
}

function byTank<Row extends { tankId: string }>(rows: readonly Row[]): Map<string, Row[]> {
  const groups = new Map<string, Row[]>()
  for (const row of rows) {
    const group = groups.get(row.tankId)
    if (group) group.push(row)
    else groups.set(row.tankId, [row])
  }
  return groups
}

/** Equal stretches of a tank: days, found, failed, and how many of them. */
type StretchCount = [length: number, found: number, failed: number, stretches: number]
export type RouteGaps = { tankId: string; counts: StretchCount[] }[]

/** Tanks that say what there is to say about the delay, beside the tank that is asked for. */
const TANKS_ENOUGH = 400

/** The stretches of enough tanks of the route, as far as their estimate needs them. */
export const ROUTE_GAPS: Question<RouteGaps> = {
  name: 'route-gaps',
  shape: 1,
  freshForMs: 36 * 3_600_000,
  workOut: async (tx, businessId, now) => {
    const { timeZone } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } })
    const tankIds = await tanksAtEvenSteps(tx, businessId, TANKS_ENOUGH)
    const gaps = await readGaps(tx, businessId, dayOf(new Date(dayIn(timeZone, now))), tankIds)
    return gaps.map(({ tankId, gaps: own }) => {
      const counts = new Map<string, StretchCount>()
      for (const { length, found, failed } of own) {
        const key = `${length} ${found} ${failed}`
        const known = counts.get(key)
        if (known) known[3] += 1
        else counts.set(key, [length, found, failed, 1])
      }
      return { tankId, counts: [...counts.values()] }
    })
  },
}

/** The same stretches one by one; which visit ended each is not known any more. */
export function inspectedTanks(route: RouteGaps): { tankId: string; gaps: InspectionGap[] }[] {
  return route.map(({ tankId, counts }) => ({
    tankId,
    gaps: counts.flatMap(([length, found, failed, stretches]) =>
      Array.from({ length: stretches }, () => ({ length, found, failed })),
    ),
  }))
}
