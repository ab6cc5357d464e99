import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../actor'
import { countProposals } from '../intervals/count-proposals'
import { dateOfDay, dayOf, isoOfDay, todayIn } from './days'
import { taskName } from './due-items'
import { withMarks } from './lane-marks'
import { classWords, laneViews, modeWords } from './lane-views'
import { type StoredReason, storedReasonSchema } from './stored-reason'

/** One thing that is due, for lists: who, what, when and why in words. */
export type DueRow = {
  equipmentId: string
  tankId: string
  tankName: string
  clientName: string
  equipmentLabel: string
  careTask: string
  taskName: string
  failureMode: string
  modeWords: string
  /** Local day; null where no date follows. */
  dueOn: string | null
  lookBy: string | null
  daysLate: number | null
  intervalDays: number | null
  reason: StoredReason
  nextVisitOn: string | null
}

const LIST_MAX = 500

/** Words of this business for classes and modes that the catalogue does not know. */
export async function ownNames(tx: Transaction, businessId: string): Promise<ReadonlyMap<string, string>> {
  const rows = await tx.catalogueOverlay.findMany({ where: { businessId, name: { not: '' } }, orderBy: { id: 'asc' } })
  return new Map(rows.map((row) => [row.slug, row.name]))
}

/** The lanes of one tank with their tank's today, for the chart of the tank page. Null when there is no such tank. */
export async function lanesOfTankIn(tx: Transaction, businessId: string, tankId: string, now: Date) {
  const tank = await tx.tank.findUnique({
    where: { businessId_id: { businessId, id: tankId } },
    select: { site: { select: { timeZone: true } }, business: { select: { timeZone: true } } },
  })
  if (!tank) return null
  const lanes = await tx.lane.findMany({
    where: { businessId, tankId },
    include: { equipment: { select: { label: true } }, slot: { select: { label: true } } },
    orderBy: [{ equipmentClass: 'asc' }, { slotId: 'asc' }, { failureMode: 'asc' }],
  })
  const due = await tx.dueItem.findMany({ where: { businessId, tankId } })
  const names = await ownNames(tx, businessId)
  const slotLabel = new Map(lanes.map((lane) => [lane.slotId, lane.slot.label]))
  return {
    today: todayIn(tank.site.timeZone ?? tank.business.timeZone, now),
    lanes: laneViews(
      await withMarks(tx, businessId, lanes),
      due,
      (lane) => ({
        label: `${slotLabel.get(lane.slotId) || classWords(lane.equipmentClass, names)}: ${modeWords(lane.failureMode, names)}`,
      }),
      (lane, careTask) => whyHref(lane.equipmentId, careTask),
    ),
  }
}

/** Address of the page that says why. */
export function whyHref(equipmentId: string, careTask: string): string {
  return `/work-due/${equipmentId}/${encodeURIComponent(careTask)}`
}

export type DueFilter = {
  search?: string
  tankId?: string
  withinDays?: number
}

/** What is due across the route, soonest first; what has no date comes last. `more`: the list was too long and ends with the first ones. */
export function workDue(
  actor: Actor,
  filter: DueFilter,
  now: Date,
): Promise<{ today: string; rows: DueRow[]; more: boolean; proposals: number }> {
  return inBusiness(actor, async (tx) => ({
    ...(await workDueIn(tx, actor.businessId, filter, now)),
    proposals: (await countProposals(tx, actor.businessId)).groups,
  }))
}

/** The same inside a running query. */
export async function workDueIn(tx: Transaction, businessId: string, filter: DueFilter, now: Date) {
  const business = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } })
  const today = todayIn(business.timeZone, now)
  const todayDay = dayOf(new Date(today))
  const until = filter.withinDays === undefined ? undefined : dateOfDay(todayDay + filter.withinDays)
  const words = filter.search?.trim()
  const contains = { contains: words ?? '', mode: 'insensitive' as const }
  const items = await tx.dueItem.findMany({
    where: {
      businessId,
      ...(filter.tankId ? { tankId: filter.tankId } : {}),
      ...(until ? { dueOn: { lte: until } } : {}),
      equipment: { removedOn: null },
      tank: {
        archivedAt: null,
        mergedIntoId: null,
        ...(words ? { OR: [{ name: contains }, { client: { name: contains } }, { site: { name: contains } }] } : {}),
      },
    },
    include: {
      equipment: { select: { label: true } },
      tank: { select: { name: true, client: { select: { name: true } } } },
    },
    orderBy: [{ dueOn: { sort: 'asc', nulls: 'last' } }, { equipmentId: 'asc' }, { careTask: 'asc' }],
    take: LIST_MAX + 1,
  })
  const next = await nextVisits(tx, businessId, today, [...new Set(items.map((item) => item.tankId))])
  const names = await ownNames(tx, businessId)
  const rows = items.slice(0, LIST_MAX).map((item): DueRow => {
    const reason = storedReasonSchema.parse(item.reason)
    const dueDay = item.dueOn ? dayOf(item.dueOn) : null
    return {
      equipmentId: item.equipmentId,
      tankId: item.tankId,
      tankName: item.tank.name,
      clientName: item.tank.client.name,
      equipmentLabel: item.equipment.label || classWords(item.equipmentClass, names),
      careTask: item.careTask,
      taskName: taskName(item.careTask),
      failureMode: item.failureMode,
      modeWords: modeWords(item.failureMode, names),
      dueOn: item.dueOn ? item.dueOn.toISOString().slice(0, 10) : null,
      lookBy: reason.lookByDay === null ? null : isoOfDay(reason.lookByDay),
      daysLate: dueDay === null ? null : Math.max(0, todayDay - dueDay),
      intervalDays: item.intervalDays,
      reason,
      nextVisitOn: next.get(item.tankId) ?? null,
    }
  })
  return { today, rows, more: items.length > LIST_MAX }
}

async function nextVisits(
  tx: Transaction,
  businessId: string,
  today: string,
  tankIds: string[],
): Promise<Map<string, string>> {
  const rows = await tx.visit.groupBy({
    by: ['tankId'],
    where: { businessId, tankId: { in: tankIds }, state: 'booked', localDate: { gte: new Date(today) } },
    _min: { localDate: true },
  })
  return new Map(
    rows.flatMap((row) =>
      row._min.localDate ? [[row.tankId, row._min.localDate.toISOString().slice(0, 10)] as const] : [],
    ),
  )
}

/**
 * What a technician sees before and during a visit to one tank: due by `horizonDays` from now (the next visits), and what
 * should be looked at. Modes of one device stand together.
 */
export async function dueForTankIn(
  tx: Transaction,
  businessId: string,
  tankId: string,
  now: Date,
  horizonDays = 0,
): Promise<SoonRow[]> {
  return soonOf(await workDueIn(tx, businessId, { tankId }, now), horizonDays)
}

/** `onlyToLook`: it is to be looked at by then, or was never looked at closely enough, but is not due by then. */
export type SoonRow = DueRow & { onlyToLook: boolean }

/** Of what is due at a tank: what is due, or to be looked at, by so many days from today; what nobody has looked at is to be at any visit. */
export function soonOf({ rows, today }: { rows: DueRow[]; today: string }, horizonDays: number): SoonRow[] {
  const horizon = isoOfDay(dayOf(new Date(today)) + horizonDays)
  const isBy = (day: string | null) => day !== null && day <= horizon
  return rows
    .filter((row) => isBy(row.dueOn) || isBy(row.lookBy) || row.reason.rule === 'never-seen')
    .map((row) => ({ ...row, onlyToLook: !isBy(row.dueOn) }))
}
