import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { readAccessWindows } from '../clients/access-windows'
import { type Actor, inBusiness } from '../frame/actor'
import { addDays, asDay, asDbDate, dayIn } from '../frame/days'
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
  const agreements = await tx.agreement.findMany({
    where: {
      businessId,
      ...(tankIds ? { tankId: { in: [...tankIds] } } : {}),
      startsOn: { lte: asDbDate(to) },
      OR: [{ endsOn: null }, { endsOn: { gte: asDbDate(from) } }],
      tank: { archivedAt: null, mergedIntoId: null },
    },
    include: {
      tank: {
        select: {
          name: true,
          clientId: true,
          client: { select: { name: true } },
          site: { select: { name: true, sitePrivate: { select: { accessWindows: true } } } },
        },
      },
    },
    orderBy: { id: 'asc' },
  })
  const visits = await routineVisits(tx, businessId, [...new Set(agreements.map(({ tankId }) => tankId))], asOf)
  const found = agreements.flatMap((agreement): DueProposal[] => {
    // An agreement with the client before a hand-over asks for nothing any more.
    if (agreement.tank.clientId !== agreement.clientId) return []
    const own = visits.get(agreement.tankId) ?? []
    const last = own.at(-1)
    const windows = readAccessWindows(agreement.tank.site.sitePrivate?.accessWindows)
    const openOn = new Set(windows.flatMap((window) => window.weekdays.map(Number)))
    const technicianId = [agreement.preferredPersonId, last?.technicianId].find((id) => id && plannable.has(id))
    return dueVisits(
      {
        everyDays: agreement.everyDays,
        anchorOn: asDay(agreement.anchorOn),
        startsOn: asDay(agreement.startsOn),
        endsOn: asDay(agreement.endsOn),
        visitDays: own.map((visit) => visit.date),
      },
      from,
      to,
    ).map(({ date, dueOn }) => ({
      agreementId: agreement.id,
      tankId: agreement.tankId,
      tankName: agreement.tank.name,
      siteName: agreement.tank.site.name,
      clientName: agreement.tank.client.name,
      date: nearestOpenDay(date, openOn, from),
      dueOn,
      everyDays: agreement.everyDays,
      visitMinutes: agreement.visitMinutes,
      technicianId: technicianId ?? '',
      windowStart: last?.windowStart ?? '',
      windowEnd: last?.windowEnd ?? '',
      includes: agreement.includes,
    }))
  })
  const key = (due: DueProposal) => `${due.date} ${due.siteName} ${due.tankName} ${due.tankId}`
  return found.sort((a, b) => (key(a) < key(b) ? -1 : 1))
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
    SELECT last.tank_id AS "tankId", last.local_date::text AS date, last.technician_id AS "technicianId",
      last.window_start AS "windowStart", last.window_end AS "windowEnd"
    FROM unnest(${tankIds}::uuid[]) AS asked (tank_id)
    CROSS JOIN LATERAL (
      SELECT tank_id, local_date, technician_id, window_start, window_end FROM visit
      WHERE business_id = ${businessId}::uuid AND tank_id = asked.tank_id AND kind = 'routine'
        AND state = 'done' AND outcome IS DISTINCT FROM 'no_access'
      ORDER BY local_date DESC, id DESC LIMIT 1
    ) AS last
    UNION ALL
    SELECT tank_id, local_date::text, technician_id, window_start, window_end FROM visit
    WHERE business_id = ${businessId}::uuid AND tank_id = ANY (${tankIds}::uuid[]) AND kind = 'routine'
      AND state IN ('booked', 'under_way') AND (state = 'under_way' OR local_date >= ${firstDayAhead(asOf)})
    ORDER BY 2, 1`
  return groupBy(rows, ({ tankId }) => tankId)
}
