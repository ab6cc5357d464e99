import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { minuteOfDay } from '../booking/local-time'
import { PLAN_ORDER, PLANNED_VISIT, type PlannedVisit, plannedVisit } from '../booking/planned-visit'
import { plannableTechnicians } from '../booking/technicians'
import { asDbDate } from '../frame/days'

/** Whoever overstays the plan by so much is shown as late: below it, a traffic light would do it. */
const LATE_MINUTES = 10

export type RoadStop = PlannedVisit & {
  course: 'planned' | 'now' | 'done' | 'late'
  /** Minutes since midnight, as it went where it went, else as planned; null where only the day is settled. */
  fromMinute: number | null
  toMinute: number | null
  minutesOver: number
}
export type Road = { technicianId: string; name: string; stops: RoadStop[] }

/** Today's visits per technician, in the order of the day; who has none is left out, visits of nobody come first. */
export async function roads(tx: Transaction, businessId: string, today: string, now: Date): Promise<Road[]> {
  const technicians = await plannableTechnicians(tx, businessId)
  const visits = await tx.visit.findMany({
    where: { businessId, localDate: asDbDate(today), state: { not: 'cancelled' } },
    select: { ...PLANNED_VISIT, technician: { select: { name: true } } },
    orderBy: [...PLAN_ORDER],
  })
  const names = new Map(technicians.map(({ id, name }) => [id, name]))
  for (const { technicianId, technician } of visits)
    if (technicianId && technician) names.set(technicianId, technician.name)
  const all = [{ id: '', name: 'Nobody yet' }, ...[...names].map(([id, name]) => ({ id, name }))]
  return all
    .map(({ id, name }) => ({
      technicianId: id,
      name,
      stops: visits.filter((visit) => (visit.technicianId ?? '') === id).map((visit) => roadStop(visit, now)),
    }))
    .filter((road) => road.stops.length > 0)
}

type Row = Parameters<typeof plannedVisit>[0]

/** How a visit of today goes, seen at an instant. Pure. */
function roadStop(row: Row, now: Date): RoadStop {
  const visit = plannedVisit(row, now)
  const minute = (at: Date) => minuteOfDay(row.timeZone, at)
  const { arrivedAt, leftAt } = row
  const from = arrivedAt ? minute(arrivedAt) : visit.startMinute
  const planned = row.plannedMinutes ?? 0
  const end = leftAt ?? (row.state === 'under_way' ? now : null)
  const stayed = arrivedAt && end ? Math.round((end.getTime() - arrivedAt.getTime()) / 60_000) : 0
  const over = planned > 0 ? Math.max(0, stayed - planned) : 0
  // A booked visit nobody has arrived at well after its planned end is late too.
  const missed = row.state === 'booked' && row.plannedEnd !== null && now.getTime() > row.plannedEnd.getTime()
  const waiting = missed && row.plannedEnd ? Math.round((now.getTime() - row.plannedEnd.getTime()) / 60_000) : 0
  const minutesOver = row.state === 'booked' ? waiting : over
  const isLate = row.state !== 'done' && minutesOver >= LATE_MINUTES
  const to =
    from === null
      ? null
      : arrivedAt && end
        ? from + Math.max(stayed, row.state === 'done' ? 1 : planned)
        : visit.endMinute
  return {
    ...visit,
    course: isLate ? 'late' : row.state === 'done' ? 'done' : row.state === 'under_way' ? 'now' : 'planned',
    fromMinute: from,
    toMinute: to,
    minutesOver,
  }
}
