import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { meanCumulativeFunction } from '@/lib/science'
import { type Narrowed, narrowed } from '../clients/choices'
import { ownNames } from '../due/queries'
import { type Actor, inBusiness } from '../frame/actor'
import { dayIn } from '../frame/days'
import { answerTo, type Question } from '../frame/stored-answer'
import { isoOfDay } from '../lanes/day-numbers'
import { classWords } from '../lanes/lane-views'

export type MeanPoint = { date: string; mean: number; lower: number; upper: number; tanks: number }
export type OwnPoint = { date: string; count: number }

/** Needs of one tank, and since when and until when it was watched; days since 1970-01-01. */
export type WatchedTank = { tankId: string; firstDay: number; lastDay: number; needDays: number[] }

/** 90 % of a normal law: a band of 1.645 standard errors. */
const BAND = 1.645
/** Below this many tanks the mean is a handful of stories. */
const TANKS_NEEDED = 2

/** Mean number of needs per tank by time (Nelson's mean cumulative function), with its 90 % band. Pure. */
export function meanOverTime(tanks: readonly WatchedTank[]): MeanPoint[] {
  const watched = tanks.filter((tank) => tank.lastDay > tank.firstDay)
  if (watched.length < TANKS_NEEDED) return []
  const start = watched.reduce((first, tank) => Math.min(first, tank.firstDay), Number.POSITIVE_INFINITY)
  const histories = watched.map(({ firstDay, lastDay, needDays }) => ({
    start: firstDay - start,
    end: lastDay - start,
    // A need on the first day seen counts just after it: the history starts there.
    events: needDays.map((day) => Math.min(Math.max(day - start, firstDay - start + 0.5), lastDay - start)),
  }))
  return meanCumulativeFunction(histories).map((step) => ({
    date: isoOfDay(Math.floor(start + step.time)),
    mean: step.mean,
    lower: Math.max(0, step.mean - BAND * step.standardError),
    upper: step.mean + BAND * step.standardError,
    tanks: step.atRisk,
  }))
}

type MeanOfTanks = { mean: MeanPoint[]; tanks: number }

/** The mean of all tanks and all kinds of needs: it reads every life of the business. */
export const NEEDS_OVER_TIME: Question<MeanOfTanks> = {
  name: 'needs-over-time',
  shape: 1,
  freshForMs: 36 * 3_600_000,
  workOut: async (tx, businessId) => meanOf(await readWatchedTanks(tx, businessId, {})),
}

const meanOf = (tanks: readonly WatchedTank[]): MeanOfTanks => ({ mean: meanOverTime(tanks), tanks: tanks.length })

export type OverTime = {
  className: string | null
  tankName: string | null
  mean: MeanPoint[]
  own: OwnPoint[]
  tanks: number
  /** The mean is not worked out yet. */
  isAwaited: boolean
  /** The business's own day. */
  today: string
  classes: { value: string; label: string }[]
  tankChoices: Narrowed
}

/** Needs of all kinds over time: the route's mean, or one class of equipment's, and beside it one tank. */
export function needsOverTime(
  actor: Actor,
  { equipmentClass, tankId, search = '' }: { equipmentClass?: string; tankId?: string; search?: string },
  now: Date,
): Promise<OverTime> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const answered = equipmentClass
      ? { answer: meanOf(await readWatchedTanks(tx, businessId, { equipmentClass })) }
      : await answerTo(tx, businessId, NEEDS_OVER_TIME, now)
    const { mean, tanks } = answered?.answer ?? { mean: [], tanks: 0 }
    const [own] = tankId
      ? await readWatchedTanks(tx, businessId, { ...(equipmentClass && { equipmentClass }), tankId })
      : []
    const names = await ownNames(tx, businessId)
    const { timeZone } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } })
    const classes = await tx.lane.findMany({
      where: { businessId },
      distinct: ['equipmentClass'],
      select: { equipmentClass: true },
    })
    const known = await tx.tank.findMany({
      where: { businessId, archivedAt: null, mergedIntoId: null },
      select: { id: true, name: true, client: { select: { name: true } } },
      orderBy: [{ client: { name: 'asc' } }, { name: 'asc' }, { id: 'asc' }],
    })
    const label = (tank: (typeof known)[number]) => `${tank.client.name}: ${tank.name}`
    const chosen = known.find((tank) => tank.id === tankId)
    return {
      today: dayIn(timeZone, now),
      className: equipmentClass ? classWords(equipmentClass, names) : null,
      tankName: chosen ? label(chosen) : null,
      mean,
      tanks,
      isAwaited: answered === null,
      own: ownCount(own?.needDays ?? []),
      classes: classes
        .map((lane) => ({ value: lane.equipmentClass, label: classWords(lane.equipmentClass, names) }))
        .sort((a, b) => a.label.localeCompare(b.label)),
      tankChoices: narrowed(
        known.map((tank) => ({ value: tank.id, label: label(tank) })),
        search,
        tankId ? [tankId] : [],
      ),
    }
  })
}

/** A tank's own needs as a count that grows. Pure. */
export function ownCount(needDays: readonly number[]): OwnPoint[] {
  return [...needDays].sort((a, b) => a - b).map((day, place) => ({ date: isoOfDay(day), count: place + 1 }))
}

/** Every tank's needs, or one tank's, of all devices and modes, or of one class, or of one mode; from its first life to its last look. */
export function readWatchedTanks(
  tx: Transaction,
  businessId: string,
  {
    equipmentClass = null,
    failureMode = null,
    tankId = null,
  }: { equipmentClass?: string | null; failureMode?: string | null; tankId?: string | null },
): Promise<WatchedTank[]> {
  return tx.$queryRaw<WatchedTank[]>`
    SELECT lane.tank_id AS "tankId", min((life->>'start')::int) AS "firstDay",
      greatest(max(lane.last_look_on - DATE '1970-01-01'), max((life->>'end')::int)) AS "lastDay",
      coalesce(array_agg((life->>'end')::int ORDER BY (life->>'end')::int) FILTER (WHERE (life->>'event')::boolean), '{}') AS "needDays"
    FROM lane CROSS JOIN LATERAL jsonb_array_elements(lane.lives) AS life
    WHERE lane.business_id = ${businessId}::uuid
      AND (${equipmentClass}::text IS NULL OR lane.equipment_class = ${equipmentClass}::text)
      AND (${failureMode}::text IS NULL OR lane.failure_mode = ${failureMode}::text)
      AND (${tankId}::uuid IS NULL OR lane.tank_id = ${tankId}::uuid)
    GROUP BY lane.tank_id ORDER BY lane.tank_id`
}
