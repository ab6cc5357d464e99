import 'server-only'
import { quantileOf, survivalAt, turnbull, visitReplacement, visitReplacementCost } from '@/lib/science'
import { findMode, findTask, livesForPlainFit } from '@/lib/trade'
import { type Actor, inBusiness } from '../actor'
import { isoOfDay, todayIn } from './days'
import { loadLife } from './derive'
import { taskName } from './due-items'
import { withMarks } from './lane-marks'
import { classWords, type LaneForChart, laneViews, modeWords } from './lane-views'
import { ownNames } from './queries'
import { type StoredReason, storedLivesSchema, storedReasonSchema } from './stored-reason'

export type Why = {
  today: string
  tank: { id: string; name: string; clientName: string }
  equipmentLabel: string
  taskName: string
  modeWords: string
  sign: string
  currency: string
  locale: string
  dueOn: string | null
  reason: StoredReason
  modelVersion: number
  lives: number
  events: number
  lanes: LaneForChart[]
  /** The visits behind this lane, newest first. */
  visits: { date: string; kind: 'looked' | 'found' | 'renewed' | 'reported'; visitId: string | null }[]
  /** Share still running by weeks: fitted and counted. */
  fitted: { time: number; survival: number }[]
  counted: { time: number; survival: number }[]
  /** Cost a year in minor units by interval in weeks. */
  costs: { interval: number; cost: number }[]
  cheapest: { interval: number; cost: number } | null
  alsoRenews: string[]
}

const DAYS_PER_WEEK = 7
const DAYS_PER_YEAR = 365.25
const CURVE_POINTS = 60
const COST_POINTS = 26

/** Everything behind one due date. Null when the item is not there. */
export function whyDue(actor: Actor, equipmentId: string, careTask: string, now: Date): Promise<Why | null> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const item = await tx.dueItem.findUnique({
      where: { businessId_equipmentId_careTask: { businessId, equipmentId, careTask } },
      include: {
        equipment: { select: { label: true, slotId: true } },
        tank: {
          select: {
            name: true,
            client: { select: { name: true } },
            site: { select: { timeZone: true } },
            business: { select: { timeZone: true, currency: true, locale: true } },
          },
        },
      },
    })
    if (!item) return null
    const reason = storedReasonSchema.parse(item.reason)
    const pair = { businessId, equipmentClass: item.equipmentClass, failureMode: item.failureMode }
    const lanesOfSlot = await tx.lane.findMany({
      where: { businessId, slotId: item.equipment.slotId, failureMode: item.failureMode },
      orderBy: { equipmentId: 'asc' },
    })
    const ownLanes = await withMarks(tx, businessId, lanesOfSlot)
    const allLanes = await tx.lane.findMany({ where: pair, select: { lives: true }, orderBy: { equipmentId: 'asc' } })
    const model = await tx.lifeModel.findFirst({ where: { ...pair, version: item.modelVersion } })
    const names = await ownNames(tx, businessId)
    const lives = livesForPlainFit(allLanes.flatMap((lane) => storedLivesSchema.parse(lane.lives).map(loadLife)))
    const { business, site } = item.tank
    return {
      today: todayIn(site.timeZone ?? business.timeZone, now),
      tank: { id: item.tankId, name: item.tank.name, clientName: item.tank.client.name },
      equipmentLabel: item.equipment.label || classWords(item.equipmentClass, names),
      taskName: taskName(careTask),
      modeWords: modeWords(item.failureMode, names),
      sign: findMode(item.failureMode)?.sign ?? '',
      currency: business.currency,
      locale: business.locale,
      dueOn: item.dueOn ? item.dueOn.toISOString().slice(0, 10) : null,
      reason,
      modelVersion: item.modelVersion,
      lives: model?.lives ?? 0,
      events: model?.events ?? 0,
      lanes: laneViews(ownLanes, [item], () => ({ label: modeWords(item.failureMode, names) })),
      visits: ownLanes
        .flatMap((lane) => lane.marks)
        .sort((a, b) => b.day - a.day)
        .map(({ day, kind, visitId }) => ({ date: isoOfDay(day), kind, visitId })),
      ...curves(
        reason,
        lives.map((life) => life.observation),
      ),
      ...costCurve(reason),
      alsoRenews: (findTask(careTask)?.renews ?? [])
        .filter((mode) => mode !== item.failureMode)
        .map((mode) => modeWords(mode, names)),
    }
  })
}

/** The fitted survival curve and the counted one (Turnbull's estimate) over the same weeks. */
function curves(reason: StoredReason, observations: { lower: number; upper: number; truncatedAt?: number }[]) {
  const life = { shape: reason.model.shape, scale: reason.model.scaleDays }
  const endDays = quantileOf(life, 0.98)
  const fitted = Array.from({ length: CURVE_POINTS + 1 }, (_, i) => {
    const days = (endDays * i) / CURVE_POINTS
    return { time: days / DAYS_PER_WEEK, survival: survivalAt(life, days) }
  })
  const counted: { time: number; survival: number }[] = [{ time: 0, survival: 1 }]
  let survival = 1
  if (observations.length > 0) {
    for (const { upper, mass } of turnbull(observations)) {
      if (!Number.isFinite(upper) || upper > endDays) break
      survival -= mass
      counted.push({ time: upper / DAYS_PER_WEEK, survival: Math.max(0, survival) })
    }
  }
  return { fitted, counted: counted.length > 1 ? counted : [] }
}

/** Cost a year against the interval, the interval in whole visits; the same formula as the recommendation. */
function costCurve(reason: StoredReason): Pick<Why, 'costs' | 'cheapest'> {
  const life = { shape: reason.model.shape, scale: reason.model.scaleDays }
  const { visitEveryDays, costs } = reason
  const plan = { visitEvery: visitEveryDays, ...costs }
  const best = visitReplacement(life, plan)
  const costRate = visitReplacementCost(life, plan)
  const endDays = Math.max(
    quantileOf(life, 0.9),
    Number.isFinite(best.afterVisits) ? best.afterVisits * visitEveryDays * 2 : 0,
  )
  const last = Math.max(2, Math.ceil(endDays / visitEveryDays))
  const step = Math.max(1, Math.ceil(last / COST_POINTS))
  const points: { interval: number; cost: number }[] = []
  for (let visits = step; visits <= last; visits += step) {
    points.push({ interval: (visits * visitEveryDays) / DAYS_PER_WEEK, cost: costRate(visits) * DAYS_PER_YEAR })
  }
  if (!Number.isFinite(best.afterVisits)) return { costs: points, cheapest: null }
  const interval = (best.afterVisits * visitEveryDays) / DAYS_PER_WEEK
  return { costs: points, cheapest: { interval, cost: best.costRate * DAYS_PER_YEAR } }
}
