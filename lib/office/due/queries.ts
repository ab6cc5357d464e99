import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import {
  careTasks,
  equipmentClasses,
  failureModes,
  findClass,
  findMode,
  inTradeWords,
  tradeDialectOf,
} from '@/lib/trade'
import { type Actor, inBusiness } from '../frame/actor'
import { dayIn } from '../frame/days'
import { groupBy } from '../frame/group-by'
import { dateOfDay, dayOf, isoOfDay } from '../lanes/day-numbers'
import { taskName } from '../lanes/due-items'
import { withMarks } from '../lanes/lane-marks'
import { classWords, laneViews, modeWords } from '../lanes/lane-views'
import { type StoredReason, storedReasonSchema } from '../lanes/stored-reason'
import { countProposals } from './count-proposals'

/** One thing that is due: who, what, when and why in words. */
export type DueWork = {
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
}
/** The same as Work due lists it. */
export type DueRow = DueWork & { nextVisitOn: string | null }

/** Rows of Work due on one page. */
const ROWS_PER_PAGE = 60

const AMERICAN_NAMES: readonly (readonly [string, string])[] = [
  ...equipmentClasses,
  ...failureModes,
  ...careTasks,
].flatMap(({ slug, name }) => {
  const american = inTradeWords(name, 'american')
  return american === name ? [] : [[slug, american] as const]
})

/**
 * What all lists of work need to know of a business: its day and zone, its money and language, its names by slug where they are not the catalogue's own,
 * and the modes that only it knows.
 */
export type AsOf = {
  today: string
  timeZone: string
  currency: string
  locale: string
  names: ReadonlyMap<string, string>
  ownModes: readonly { slug: string; equipmentClass: string }[]
}

/**
 * The day of the business, and names by slug where they are not the catalogue's own: the words of this business for what the catalogue does not
 * know, and the trade words of its country. One statement.
 */
export async function asOf(tx: Transaction, businessId: string, now: Date): Promise<AsOf> {
  const business = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: AS_OF_COLUMNS })
  return asOfBusiness(business, now)
}

/** What `asOfBusiness` needs of a business, for whoever reads it anyway. */
export const AS_OF_COLUMNS = {
  ...{ country: true, timeZone: true, currency: true, locale: true },
  catalogueOverlays: {
    where: { OR: [{ name: { not: '' } }, { kind: 'mode' }] },
    select: { slug: true, name: true, kind: true, equipmentClass: true },
    orderBy: { id: 'asc' },
  },
} as const satisfies Prisma.BusinessSelect

/** The same of what was read. Pure. */
export function asOfBusiness(business: Prisma.BusinessGetPayload<{ select: typeof AS_OF_COLUMNS }>, now: Date): AsOf {
  const { country, timeZone, currency, locale } = business
  const own = business.catalogueOverlays.filter(({ slug }) => !findClass(slug) && !findMode(slug))
  const words = own.flatMap(({ slug, name }) => (name === '' ? [] : [[slug, name] as const]))
  return {
    ...{ today: dayIn(timeZone, now), timeZone, currency, locale },
    names: new Map([...(tradeDialectOf(country) === 'american' ? AMERICAN_NAMES : []), ...words]),
    ownModes: own.filter(({ kind }) => kind === 'mode').map(({ slug, equipmentClass }) => ({ slug, equipmentClass })),
  }
}

/** Of that the names alone. */
export async function ownNames(tx: Transaction, businessId: string): Promise<AsOf['names']> {
  return (await asOf(tx, businessId, new Date(0))).names
}

/** The lanes of one tank, for the chart of its page. */
export async function lanesOfTankIn(tx: Transaction, businessId: string, tankId: string, names: AsOf['names']) {
  const lanes = await tx.lane.findMany({
    where: { businessId, tankId },
    include: { equipment: { select: { label: true } }, slot: { select: { label: true } } },
    orderBy: [{ equipmentClass: 'asc' }, { slotId: 'asc' }, { failureMode: 'asc' }],
  })
  const due = await tx.dueItem.findMany({ where: { businessId, tankId } })
  const slotLabel = new Map(lanes.map((lane) => [lane.slotId, lane.slot.label]))
  return laneViews(
    await withMarks(tx, businessId, lanes),
    due,
    (lane) => ({
      label: `${slotLabel.get(lane.slotId) || classWords(lane.equipmentClass, names)}: ${modeWords(lane.failureMode, names)}`,
    }),
    (lane, careTask) => whyHref(lane.equipmentId, careTask),
  )
}

/** Address of the page that says why. */
export function whyHref(equipmentId: string, careTask: string): string {
  return `/work-due/${equipmentId}/${encodeURIComponent(careTask)}`
}

export type DueFilter = {
  search?: string
  tankId?: string
  tankIds?: readonly string[]
  withinDays?: number
}

export type DuePage = {
  today: string
  rows: DueRow[]
  pages: { page: number; perPage: number; total: number }
  late: number
  proposals: number
}

/** A page of what is due across the route, soonest first; what has no date comes last. */
export function workDue(actor: Actor, filter: DueFilter, now: Date, page = 1): Promise<DuePage> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const { rows, today, where } = await workDueIn(tx, businessId, filter, await asOf(tx, businessId, now), page)
    const next = await nextVisits(tx, businessId, today, [...new Set(rows.map(({ tankId }) => tankId))])
    return {
      rows: rows.map((row) => ({ ...row, nextVisitOn: next.get(row.tankId) ?? null })),
      today,
      pages: { page, perPage: ROWS_PER_PAGE, total: await tx.dueItem.count({ where }) },
      late: await tx.dueItem.count({ where: { AND: [where, { dueOn: { lt: new Date(today) } }] } }),
      proposals: (await countProposals(tx, businessId)).groups,
    }
  })
}

/** All of it, or one page, inside a running query. */
export async function workDueIn(
  tx: Transaction,
  businessId: string,
  filter: DueFilter,
  { today, names }: Pick<AsOf, 'today' | 'names'>,
  page?: number,
) {
  const todayDay = dayOf(new Date(today))
  const until = filter.withinDays === undefined ? undefined : dateOfDay(todayDay + filter.withinDays)
  const words = filter.search?.trim()
  const contains = { contains: words ?? '', mode: 'insensitive' as const }
  const where = {
    businessId,
    ...(filter.tankId ? { tankId: filter.tankId } : {}),
    ...(filter.tankIds ? { tankId: { in: [...filter.tankIds] } } : {}),
    ...(until ? { dueOn: { lte: until } } : {}),
    equipment: { removedOn: null },
    tank: {
      archivedAt: null,
      mergedIntoId: null,
      ...(words ? { OR: [{ name: contains }, { client: { name: contains } }, { site: { name: contains } }] } : {}),
    },
  } satisfies Prisma.DueItemWhereInput
  const items = await tx.dueItem.findMany({
    where,
    include: {
      equipment: { select: { label: true } },
      tank: { select: { name: true, client: { select: { name: true } } } },
    },
    orderBy: [{ dueOn: { sort: 'asc', nulls: 'last' } }, { equipmentId: 'asc' }, { careTask: 'asc' }],
    ...(page === undefined ? {} : { skip: (page - 1) * ROWS_PER_PAGE, take: ROWS_PER_PAGE }),
  })
  const rows = items.map((item): DueWork => {
    const reason = storedReasonSchema.parse(item.reason)
    const dueDay = item.dueOn ? dayOf(item.dueOn) : null
    return {
      equipmentId: item.equipmentId,
      tankId: item.tankId,
      tankName: item.tank.name,
      clientName: item.tank.client.name,
      equipmentLabel: item.equipment.label || classWords(item.equipmentClass, names),
      careTask: item.careTask,
      taskName: taskName(item.careTask, names),
      failureMode: item.failureMode,
      modeWords: modeWords(item.failureMode, names),
      dueOn: item.dueOn ? item.dueOn.toISOString().slice(0, 10) : null,
      lookBy: reason.lookByDay === null ? null : isoOfDay(reason.lookByDay),
      daysLate: dueDay === null ? null : Math.max(0, todayDay - dueDay),
      intervalDays: item.intervalDays,
      reason,
    }
  })
  return { today, rows, where }
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
 * What a technician sees before and during visits to these tanks: due by `horizonDays` from now (the next visits), and what
 * should be looked at. Modes of one device stand together.
 */
export async function dueForTanksIn(
  tx: Transaction,
  businessId: string,
  tankIds: readonly string[],
  at: Pick<AsOf, 'today' | 'names'>,
  horizonDays = 0,
): Promise<ReadonlyMap<string, SoonRow[]>> {
  if (tankIds.length === 0) return new Map()
  return groupBy(soonOf(await workDueIn(tx, businessId, { tankIds }, at), horizonDays), ({ tankId }) => tankId)
}

/** `onlyToLook`: it is to be looked at by then, or was never looked at closely enough, but is not due by then. */
export type SoonRow = DueWork & { onlyToLook: boolean }

/** Of what is due at a tank: what is due, or to be looked at, by so many days from today; what nobody has looked at is to be at any visit. */
export function soonOf({ rows, today }: { rows: readonly DueWork[]; today: string }, horizonDays: number): SoonRow[] {
  const horizon = isoOfDay(dayOf(new Date(today)) + horizonDays)
  const isBy = (day: string | null) => day !== null && day <= horizon
  return rows
    .filter((row) => isBy(row.dueOn) || isBy(row.lookBy) || row.reason.rule === 'never-seen')
    .map((row) => ({ ...row, onlyToLook: !isBy(row.dueOn) }))
}
