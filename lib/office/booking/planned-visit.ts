import type { Prisma } from '@/generated/prisma/client'
import { asDay } from '../frame/days'
import { clockIn, minuteOfDay } from './local-time'
import { isNotDone } from './projection'

/** What the plan shows of a visit; read together so that every page reads the same. */
export const PLANNED_VISIT = {
  id: true,
  tankId: true,
  technicianId: true,
  kind: true,
  state: true,
  outcome: true,
  localDate: true,
  timeZone: true,
  windowStart: true,
  windowEnd: true,
  plannedStart: true,
  plannedEnd: true,
  plannedMinutes: true,
  overlapAccepted: true,
  whatFor: true,
  outOfHours: true,
  arrivedAt: true,
  leftAt: true,
  tank: { select: { name: true } },
  site: { select: { name: true, city: true } },
  client: { select: { name: true } },
} as const satisfies Prisma.VisitSelect

export type PlannedVisitRow = Prisma.VisitGetPayload<{ select: typeof PLANNED_VISIT }>

/** A visit in the plan, in the wall clock of its site. Minutes count from local midnight. */
export type PlannedVisit = {
  id: string
  tankId: string
  tankName: string
  siteName: string
  city: string
  clientName: string
  technicianId: string | null
  kind: string
  state: string
  /** Its day went by with nothing logged. */
  notDone: boolean
  outcome: string | null
  date: string
  windowStart: string
  windowEnd: string
  /** "09:20", or blank where only the day is settled. */
  start: string
  end: string
  startMinute: number | null
  endMinute: number | null
  plannedMinutes: number | null
  overlapAccepted: boolean
  whatFor: string
  outOfHours: boolean
}

/** By day, then by start; what has no start comes last, by its window. */
export const PLAN_ORDER = [
  { localDate: 'asc' },
  { plannedStart: { sort: 'asc', nulls: 'last' } },
  { windowStart: 'asc' },
  { id: 'asc' },
] as const satisfies Prisma.VisitOrderByWithRelationInput[]

/** A row as the plan shows it, seen at an instant. Pure. */
export function plannedVisit(row: PlannedVisitRow, now: Date): PlannedVisit {
  const { timeZone, plannedStart, plannedEnd } = row
  const startMinute = plannedStart && minuteOfDay(timeZone, plannedStart)
  return {
    id: row.id,
    tankId: row.tankId,
    tankName: row.tank.name,
    siteName: row.site.name,
    city: row.site.city,
    clientName: row.client.name,
    technicianId: row.technicianId,
    kind: row.kind,
    state: row.state,
    notDone: isNotDone({ state: row.state, date: asDay(row.localDate), timeZone }, now),
    outcome: row.outcome,
    date: asDay(row.localDate),
    windowStart: row.windowStart,
    windowEnd: row.windowEnd,
    start: plannedStart ? clockIn(timeZone, plannedStart) : '',
    end: plannedEnd ? clockIn(timeZone, plannedEnd) : '',
    startMinute,
    // A visit that ends after midnight is drawn to the end of its day and beyond, not before its start.
    endMinute:
      startMinute !== null && plannedStart && plannedEnd
        ? startMinute + (plannedEnd.getTime() - plannedStart.getTime()) / 60_000
        : null,
    plannedMinutes: row.plannedMinutes,
    overlapAccepted: row.overlapAccepted,
    whatFor: row.whatFor,
    outOfHours: row.outOfHours,
  }
}
