import 'server-only'
import { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { readAccessWindows } from '../clients/access-windows'
import { type Actor, inBusiness } from '../frame/actor'
import { addDays, dayIn } from '../frame/days'
import { groupBy } from '../frame/group-by'
import { daysOfWeek, weekOfDay } from './local-time'
import { type AsOf, firstDayAhead } from './not-done'
import { dueVisits, nearestOpenDay } from './projection'
import { BOOKED_AT_ONCE_MAX } from './schema'
import { plannableTechnicians } from './technicians'

export type DueProposal = {
  agreementId: string
  tankId: string
  tankName: string
  siteName: string
  clientName: string
  date: string
  /** Lies before `date` where the visit is late already. */
  dueOn: string
  everyDays: number
  visitMinutes: number
  technicianId: string
  windowStart: string
  windowEnd: string
  includes: string
}

export type DueByAgreement = {
  week: string
  weeks: number
  from: string
  to: string
  today: string
  locale: string
  proposals: DueProposal[]
  /** More than fit in one go; book these first. */
  left: number
  technicians: { id: string; name: string }[]
}

/**
 * The visits agreements ask for in the chosen weeks (from today on) that nobody has booked, by day, site and tank: with
 * the agreement's minutes and preferred technician, else whoever came last, and the window promised last time;
 * moved to the nearest day on which the site lets us in.
 */
export function dueByAgreement(
  actor: Actor,
  asked: { week?: string | undefined; weeks: number },
  now = new Date(),
): Promise<DueByAgreement> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const { timeZone, locale } = await tx.business.findUniqueOrThrow({
      where: { id: businessId },
      select: { timeZone: true, locale: true },
    })
    const today = dayIn(timeZone, now)
    const week = asked.week !== undefined && daysOfWeek(asked.week) ? asked.week : weekOfDay(today)
    const monday = daysOfWeek(week)?.[0] ?? today
    const isUnderWay = monday < today
    const from = isUnderWay ? today : monday
    const to = addDays(monday, asked.weeks * 7 - 1)
    const technicians = await plannableTechnicians(tx, businessId)
    const plannable = new Set(technicians.map(({ id }) => id))
    const all = to < from ? [] : await visitsDue(tx, businessId, { from, to, asOf: { now } }, plannable)
    return {
      week,
      weeks: asked.weeks,
      from,
      to,
      today,
      locale,
      proposals: all.slice(0, BOOKED_AT_ONCE_MAX),
      left: Math.max(0, all.length - BOOKED_AT_ONCE_MAX),
      technicians: technicians.map(({ id, name }) => ({ id, name })),
    }
  })
}

/**
 * The visits that agreements ask for between two days and that nobody has booked; of these tanks, or of all. One that was booked and missed by
 * `asOf` stands for nothing: its tank is due again.
 */
export async function visitsDue(
  tx: Transaction,
  businessId: string,
  { from, to, asOf }: { from: string; to: string; asOf: AsOf },
  plannable: ReadonlySet<string>,
  tankIds?: readonly string[],
): Promise<DueProposal[]> {
  const agreements = await readAgreed(tx, businessId, { from, to }, tankIds)
  const visits = await routineVisits(tx, businessId, [...new Set(agreements.map(({ tankId }) => tankId))], asOf)
  const asked = agreements.flatMap((agreed) => {
    const own = visits.get(agreed.tankId) ?? []
    const days = dueVisits({ ...agreed, visitDays: own.map((visit) => visit.date) }, from, to)
    return days.map((day) => ({ ...day, agreed, last: own.at(-1) }))
  })
  // Of thousands of agreements few ask for a visit in a week: only theirs are read in full.
  const known = await readWhereAndHow(tx, businessId, [...new Set(asked.map(({ agreed }) => agreed.id))])
  const found = asked.flatMap(({ date, dueOn, agreed, last }): DueProposal[] => {
    const agreement = known.get(agreed.id)
    if (!agreement) return []
    const { site, client, name } = agreement.tank
    const openOn = new Set(
      readAccessWindows(site.sitePrivate?.accessWindows).flatMap(({ weekdays }) => weekdays.map(Number)),
    )
    return [
      {
        agreementId: agreed.id,
        tankId: agreed.tankId,
        tankName: name,
        siteName: site.name,
        clientName: client.name,
        date: nearestOpenDay(date, openOn, from),
        dueOn,
        everyDays: agreed.everyDays,
        visitMinutes: agreement.visitMinutes,
        technicianId: [agreement.preferredPersonId, last?.technicianId].find((id) => id && plannable.has(id)) ?? '',
        windowStart: last?.windowStart ?? '',
        windowEnd: last?.windowEnd ?? '',
        includes: agreement.includes,
      },
    ]
  })
  const key = (due: DueProposal) => `${due.date} ${due.siteName} ${due.tankName} ${due.tankId}`
  return found.sort((a, b) => (key(a) < key(b) ? -1 : 1))
}

type Agreed = {
  id: string
  tankId: string
  everyDays: number
  anchorOn: string
  startsOn: string
  endsOn: string | null
}

/** How often tanks are visited by the agreements that run between two days. One with the client before a hand-over asks for nothing any more. */
function readAgreed(
  tx: Transaction,
  businessId: string,
  { from, to }: { from: string; to: string },
  tankIds?: readonly string[],
): Promise<Agreed[]> {
  const ofTanks = tankIds ? Prisma.sql`AND agreement.tank_id = ANY (${[...tankIds]}::uuid[])` : Prisma.empty
  return tx.$queryRaw<Agreed[]>`
    SELECT agreement.id, agreement.tank_id AS "tankId", agreement.every_days AS "everyDays", agreement.anchor_on::text AS "anchorOn",
      agreement.starts_on::text AS "startsOn", agreement.ends_on::text AS "endsOn"
    FROM agreement
    JOIN tank ON tank.business_id = agreement.business_id AND tank.id = agreement.tank_id AND tank.client_id = agreement.client_id
      AND tank.archived_at IS NULL AND tank.merged_into_id IS NULL
    WHERE agreement.business_id = ${businessId}::uuid AND agreement.starts_on <= ${to}::date
      AND (agreement.ends_on IS NULL OR agreement.ends_on >= ${from}::date) ${ofTanks}
    ORDER BY agreement.id`
}

/** Where, for whom and how long: of these agreements, by their ids. */
async function readWhereAndHow(tx: Transaction, businessId: string, ids: string[]) {
  if (ids.length === 0) return new Map<string, never>()
  const agreements = await tx.agreement.findMany({
    where: { businessId, id: { in: ids } },
    select: {
      ...{ id: true, visitMinutes: true, preferredPersonId: true, includes: true },
      tank: {
        select: {
          name: true,
          client: { select: { name: true } },
          site: { select: { name: true, sitePrivate: { select: { accessWindows: true } } } },
        },
      },
    },
  })
  return new Map(agreements.map((agreement) => [agreement.id, agreement]))
}

type RoutineVisit = {
  tankId: string
  date: string
  technicianId: string | null
  windowStart: string
  windowEnd: string
}

/** Per tank the last routine visit that took place, and all that are booked and not missed, by day. Where nobody got in, nobody was. */
async function routineVisits(
  tx: Transaction,
  businessId: string,
  tankIds: string[],
  asOf: AsOf,
): Promise<Map<string, RoutineVisit[]>> {
  const rows = await tx.$queryRaw<RoutineVisit[]>`
    WITH asked AS (SELECT tank_id FROM unnest(${tankIds}::uuid[]) AS asked (tank_id))
    SELECT last.tank_id AS "tankId", last.local_date::text AS date, last.technician_id AS "technicianId",
      last.window_start AS "windowStart", last.window_end AS "windowEnd"
    FROM asked CROSS JOIN LATERAL (
      SELECT tank_id, local_date, technician_id, window_start, window_end FROM visit
      WHERE business_id = ${businessId}::uuid AND tank_id = asked.tank_id AND kind = 'routine'
        AND state = 'done' AND outcome IS DISTINCT FROM 'no_access'
      ORDER BY local_date DESC, id DESC LIMIT 1
    ) AS last
    UNION ALL
    SELECT visit.tank_id, local_date::text, technician_id, window_start, window_end
    FROM visit JOIN asked ON asked.tank_id = visit.tank_id
    WHERE business_id = ${businessId}::uuid AND kind = 'routine'
      AND state IN ('booked', 'under_way') AND (state = 'under_way' OR local_date >= ${firstDayAhead(asOf)})
    ORDER BY 2, 1`
  return groupBy(rows, ({ tankId }) => tankId)
}
