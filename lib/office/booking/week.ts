import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../frame/actor'
import { addDays, asDay, asDbDate, dayIn } from '../frame/days'
import { daysOfWeek, weekOfDay } from './local-time'
import { PLAN_ORDER, PLANNED_VISIT, type PlannedVisit, plannedVisit } from './planned-visit'
import { plannableTechnicians } from './technicians'

export type WeekRow = {
  /** Blank: nobody yet. */
  technicianId: string
  name: string
  plannedMinutes: number
  /** `count` also where the visits themselves are left out. */
  days: { date: string; count: number; visits: PlannedVisit[] }[]
}

export type Week = {
  week: string
  days: string[]
  today: string
  thisWeek: string
  previousWeek: string
  nextWeek: string
  locale: string
  technicians: { id: string; name: string }[]
  rows: WeekRow[]
  /** Too many visits for one page: each day says how many, and a technician's own week names them. */
  isCounted: boolean
  cancelled: number
  openRequests: number
}

/** More visits of a week than this are counted, not listed, until one technician is chosen. */
const VISITS_LISTED = 200

/**
 * A week of the plan, a row per technician; `technicianId` narrows it to one. Without a week, or with one that the
 * calendar does not have, the week of today at the business's place.
 */
export function weekOf(
  actor: Actor,
  asked: { week?: string | undefined; technicianId?: string | undefined },
  now = new Date(),
): Promise<Week> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const { timeZone, locale } = await tx.business.findUniqueOrThrow({
      where: { id: businessId },
      select: { timeZone: true, locale: true },
    })
    const today = dayIn(timeZone, now)
    const thisWeek = weekOfDay(today)
    const week = asked.week !== undefined && daysOfWeek(asked.week) ? asked.week : thisWeek
    const days = daysOfWeek(week) ?? []
    const [monday = today, sunday = today] = [days[0], days[6]]
    const technicians = await plannableTechnicians(tx, businessId)
    const where = {
      businessId,
      localDate: { gte: asDbDate(monday), lte: asDbDate(sunday) },
      ...(asked.technicianId === undefined ? {} : { technicianId: asked.technicianId }),
    }
    const isCounted = asked.technicianId === undefined && (await tx.visit.count({ where })) > VISITS_LISTED
    const openRequests = await tx.visitRequest.count({ where: { businessId, state: 'open' } })
    const around = {
      ...{ week, days, today, thisWeek, locale, openRequests, isCounted },
      previousWeek: weekOfDay(addDays(monday, -7)),
      nextWeek: weekOfDay(addDays(monday, 7)),
      technicians: technicians.map(({ id, name }) => ({ id, name })),
    }
    if (isCounted) return { ...around, ...(await countedWeek(tx, where, days, technicians)) }
    const found = await tx.visit.findMany({
      where,
      select: { ...PLANNED_VISIT, technician: { select: { name: true } } },
      orderBy: [...PLAN_ORDER],
    })
    const shown = found.filter((visit) => visit.state !== 'cancelled')
    const names = new Map(technicians.map(({ id, name }) => [id, name]))
    // Whoever has visits in the week stands in it, also when they have left since.
    for (const { technicianId, technician } of shown)
      if (technicianId && technician && !names.has(technicianId)) names.set(technicianId, technician.name)
    const nobody = shown.some((visit) => visit.technicianId === null)
    const ids = [...names.keys()].filter((id) => asked.technicianId === undefined || id === asked.technicianId)
    const visits = shown.map((row) => plannedVisit(row, now))
    return {
      ...around,
      rows: [
        ...(nobody ? [rowOf('', 'Nobody yet', days, visits)] : []),
        ...ids.map((id) => rowOf(id, names.get(id) ?? '', days, visits)),
      ],
      cancelled: found.length - shown.length,
    }
  })
}

function rowOf(technicianId: string, name: string, days: readonly string[], visits: readonly PlannedVisit[]): WeekRow {
  const own = visits.filter((visit) => (visit.technicianId ?? '') === technicianId)
  return {
    technicianId,
    name,
    plannedMinutes: own.reduce((sum, visit) => sum + (visit.plannedMinutes ?? 0), 0),
    days: days.map((date) => {
      const visitsOfDay = own.filter((visit) => visit.date === date)
      return { date, count: visitsOfDay.length, visits: visitsOfDay }
    }),
  }
}

/** The same week as numbers: of each technician and day how many visits. */
async function countedWeek(
  tx: Transaction,
  where: Prisma.VisitWhereInput,
  days: readonly string[],
  technicians: readonly { id: string; name: string }[],
): Promise<Pick<Week, 'rows' | 'cancelled'>> {
  const counts = await tx.visit.groupBy({
    by: ['technicianId', 'localDate', 'state'],
    where,
    _count: true,
    _sum: { plannedMinutes: true },
  })
  const shown = counts.filter(({ state }) => state !== 'cancelled')
  const names = new Map(technicians.map(({ id, name }) => [id, name]))
  const others = shown.flatMap(({ technicianId }) => (technicianId && !names.has(technicianId) ? [technicianId] : []))
  const left = await tx.person.findMany({ where: { id: { in: others } }, select: { id: true, name: true } })
  for (const { id, name } of left) names.set(id, name)
  const sum = (rows: typeof shown) => rows.reduce((all, { _count }) => all + _count, 0)
  const rowFor = (technicianId: string, name: string): WeekRow => {
    const own = shown.filter((row) => (row.technicianId ?? '') === technicianId)
    return {
      ...{ technicianId, name },
      plannedMinutes: own.reduce((all, { _sum }) => all + (_sum.plannedMinutes ?? 0), 0),
      days: days.map((date) => ({
        ...{ date, visits: [] },
        count: sum(own.filter(({ localDate }) => asDay(localDate) === date)),
      })),
    }
  }
  return {
    rows: [
      ...(shown.some(({ technicianId }) => technicianId === null) ? [rowFor('', 'Nobody yet')] : []),
      ...[...names].map(([id, name]) => rowFor(id, name)),
    ],
    cancelled: sum(counts.filter(({ state }) => state === 'cancelled')),
  }
}
