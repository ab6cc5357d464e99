import 'server-only'
import { type Actor, inBusiness } from '../actor'
import { addDays, asDbDate, dayIn } from '../clients/days'
import { daysOfWeek, weekOfDay } from './local-time'
import { PLAN_ORDER, PLANNED_VISIT, type PlannedVisit, plannedVisit } from './planned-visit'
import { plannableTechnicians } from './technicians'

export type WeekRow = {
  /** Blank: nobody yet. */
  technicianId: string
  name: string
  plannedMinutes: number
  days: { date: string; visits: PlannedVisit[] }[]
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
  cancelled: number
  openRequests: number
}

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
    const found = await tx.visit.findMany({
      where: {
        businessId,
        localDate: { gte: asDbDate(monday), lte: asDbDate(sunday) },
        ...(asked.technicianId === undefined ? {} : { technicianId: asked.technicianId }),
      },
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
    const visits = shown.map(plannedVisit)
    return {
      week,
      days,
      today,
      thisWeek,
      previousWeek: weekOfDay(addDays(monday, -7)),
      nextWeek: weekOfDay(addDays(monday, 7)),
      locale,
      technicians: technicians.map(({ id, name }) => ({ id, name })),
      rows: [
        ...(nobody ? [rowOf('', 'Nobody yet', days, visits)] : []),
        ...ids.map((id) => rowOf(id, names.get(id) ?? '', days, visits)),
      ],
      cancelled: found.length - shown.length,
      openRequests: await tx.visitRequest.count({ where: { businessId, state: 'open' } }),
    }
  })
}

function rowOf(technicianId: string, name: string, days: readonly string[], visits: readonly PlannedVisit[]): WeekRow {
  const own = visits.filter((visit) => (visit.technicianId ?? '') === technicianId)
  return {
    technicianId,
    name,
    plannedMinutes: own.reduce((sum, visit) => sum + (visit.plannedMinutes ?? 0), 0),
    days: days.map((date) => ({ date, visits: own.filter((visit) => visit.date === date) })),
  }
}
