import 'server-only'
import { type Life, type LifeMixture, quantileOf, visitPolicyCosts } from '@/lib/science'
import {
  chanceByDay,
  compareWithRoute,
  findMode,
  findTask,
  livesForPlainFit,
  medianOfDraws,
  needChanceWords,
} from '@/lib/trade'
import { type Actor, inBusiness } from '../frame/actor'
import { dayIn } from '../frame/days'
import { dayOf, isoOfDay } from '../lanes/day-numbers'
import { loadLife } from '../lanes/derive'
import { taskName } from '../lanes/due-items'
import { withMarks } from '../lanes/lane-marks'
import { classWords, type LaneForChart, laneViews, modeWords } from '../lanes/lane-views'
import { type LifeCurves, lifeCurves } from '../lanes/life-curves'
import { lessonOfStored } from '../lanes/life-lessons'
import { modelInUse, type PairKnowledge, readKnowledge } from '../lanes/life-models'
import { type Interval, typicalLife } from '../lanes/life-words'
import { type StoredReason, storedLivesSchema, storedProposalSchema, storedReasonSchema } from '../lanes/stored-reason'
import { ownNames } from './queries'
import { type SavingView, savingView } from './saving-view'

export type Why = {
  today: string
  tank: { id: string; name: string; clientName: string }
  equipmentClass: string
  failureMode: string
  equipmentLabel: string
  taskName: string
  modeWords: string
  sign: string
  currency: string
  locale: string
  dueOn: string | null
  reason: StoredReason
  /** Another interval that the owner is asked about. */
  proposal: { intervalDays: number | null; saving: SavingView } | null
  /** What the cheapest interval saves against what was done so far. */
  savingOnHabit: SavingView | null
  intervalDays: number | null
  /** The posterior of this tank's life, days; null before the first life model. */
  draws: { shape: number; scale: number; weight: number }[] | null
  modelVersion: number
  lives: number
  events: number
  lanes: LaneForChart[]
  /** The visits behind this lane, newest first. */
  visits: { date: string; kind: 'looked' | 'found' | 'renewed' | 'reported'; visitId: string | null }[]
  /** This tank against a typical one, and the chance that the need has come by the due date, in words. */
  comparison: string | null
  chanceWords: string | null
  /** Median life in days with its 90 % interval: here, and at a typical tank of the route. */
  hereDays: Interval | null
  routeDays: Interval | null
  /** Share still running by weeks, over the route. */
  curves: LifeCurves
  /** Cost a year in minor units by interval in weeks. */
  costs: { interval: number; cost: number }[]
  cheapest: { interval: number; cost: number } | null
  alsoRenews: string[]
}

const DAYS_PER_WEEK = 7
const DAYS_PER_YEAR = 365.25
const COST_POINTS = 26
/** The posterior of one tank as shown, and every how manieth draw, the middle of its stretch, the cost curve takes: the draws stand in the order of their medians. */
const DRAWS_SHOWN = 400
const DRAWS_PER_POINT = 10

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
    const allLanes = await tx.lane.findMany({
      where: pair,
      select: { lives: true, tankId: true, equipmentId: true },
      orderBy: { equipmentId: 'asc' },
    })
    const model = await tx.lifeModel.findFirst({ where: { ...pair, version: item.modelVersion } })
    const names = await ownNames(tx, businessId)
    const lives = allLanes.flatMap(({ tankId, lives }) =>
      livesForPlainFit(storedLivesSchema.parse(lives).map(loadLife)).map(({ observation }) => ({
        tankId,
        observation,
      })),
    )
    const ownLives = allLanes
      .filter((lane) => lane.tankId === item.tankId)
      .map((lane) => lessonOfStored(lane, storedLivesSchema.parse(lane.lives).map(loadLife)))
    const knowledge = readKnowledge(model?.parameters)
    const draws = modelInUse(item.failureMode, { knowledge }, ownLives, { draws: DRAWS_SHOWN }).draws
    const { business, site } = item.tank
    const today = dayIn(site.timeZone ?? business.timeZone, now)
    return {
      today,
      tank: { id: item.tankId, name: item.tank.name, clientName: item.tank.client.name },
      equipmentClass: item.equipmentClass,
      failureMode: item.failureMode,
      equipmentLabel: item.equipment.label || classWords(item.equipmentClass, names),
      taskName: taskName(careTask, names),
      modeWords: modeWords(item.failureMode, names),
      sign: findMode(item.failureMode)?.sign ?? '',
      currency: business.currency,
      locale: business.locale,
      dueOn: item.dueOn ? item.dueOn.toISOString().slice(0, 10) : null,
      reason,
      proposal: proposalView(item.proposal),
      savingOnHabit: reason.interval.savingOnHabit && savingView(reason.interval.savingOnHabit),
      intervalDays: item.intervalDays,
      draws: draws ? [...draws] : null,
      modelVersion: item.modelVersion,
      lives: model?.lives ?? 0,
      events: model?.events ?? 0,
      lanes: laneViews(ownLanes, [item], () => ({ label: modeWords(item.failureMode, names) })),
      visits: ownLanes
        .flatMap((lane) => lane.marks)
        .sort((a, b) => b.day - a.day)
        .map(({ day, kind, visitId }) => ({ date: isoOfDay(day), kind, visitId })),
      ...inWords(reason, item.dueOn, { draws, knowledge, todayDay: dayOf(new Date(today)) }),
      curves: lifeCurves(routeLife(reason, model), lives),
      ...costCurve(reason, draws),
      alsoRenews: (findTask(careTask)?.renews ?? [])
        .filter((mode) => mode !== item.failureMode)
        .map((mode) => modeWords(mode, names)),
    }
  })
}

/** Rules whose date no life model made: a chance beside it would claim so. */
const WITHOUT_A_CHANCE: readonly string[] = ['need-open', 'wears', 'age-limit']

/** What stands first on the page. A need that is open, or a date that a rule sets, has no chance to be told. */
function inWords(
  reason: StoredReason,
  dueOn: Date | null,
  {
    draws,
    knowledge,
    todayDay,
  }: { draws: LifeMixture['draws'] | undefined; knowledge: PairKnowledge | null; todayDay: number },
): Pick<Why, 'comparison' | 'chanceWords' | 'hereDays' | 'routeDays'> {
  const routeDays = knowledge ? typicalLife(knowledge.model).medianDays : null
  // Of a day gone by nobody wants to know the chance of then.
  const isPast = dueOn !== null && dayOf(dueOn) < todayDay
  const askedDay = dueOn && (isPast ? todayDay : dayOf(dueOn))
  const chance = askedDay && !WITHOUT_A_CHANCE.includes(reason.rule) ? chanceByDay(reason.band, askedDay) : null
  return {
    comparison: draws && routeDays ? compareWithRoute(draws, routeDays.median) : null,
    chanceWords: chance === null ? null : needChanceWords(chance, { isPast }),
    hereDays: draws ? medianOfDraws(draws) : null,
    routeDays,
  }
}

/** The route's own fit where there is one, else what the due date used. */
function routeLife(reason: StoredReason, model: { shape: number | null; scaleDays: number | null } | null) {
  return model?.shape && model.scaleDays
    ? { shape: model.shape, scale: model.scaleDays }
    : { shape: reason.model.shape, scale: reason.model.scaleDays }
}

/** Cost a year against the interval, the interval in whole visits; the same formula and the same life as the recommendation. */
function costCurve(
  reason: StoredReason,
  draws: readonly { shape: number; scale: number; weight: number }[] | undefined,
): Pick<Why, 'costs' | 'cheapest'> {
  const summary = { shape: reason.model.shape, scale: reason.model.scaleDays }
  const life: Life = draws
    ? { draws: draws.filter((_, index) => index % DRAWS_PER_POINT === DRAWS_PER_POINT / 2) }
    : summary
  const { visitEveryDays, costs, interval } = reason
  const cheapestVisits = interval.cheapestDays === null ? null : Math.round(interval.cheapestDays / visitEveryDays)
  const endDays = Math.max(quantileOf(summary, 0.9), (cheapestVisits ?? 0) * visitEveryDays * 2)
  const last = Math.max(2, Math.ceil(endDays / visitEveryDays))
  const step = Math.max(1, Math.ceil(last / COST_POINTS))
  const visits = Array.from({ length: Math.floor(last / step) }, (_, index) => (index + 1) * step)
  const { means } = visitPolicyCosts(life, { visitEvery: visitEveryDays, ...costs }, visits)
  const points = visits.map((plan, index) => ({
    interval: (plan * visitEveryDays) / DAYS_PER_WEEK,
    cost: (means[index] ?? 0) * DAYS_PER_YEAR,
  }))
  if (cheapestVisits === null) return { costs: points, cheapest: null }
  return {
    costs: points,
    cheapest: { interval: (cheapestVisits * visitEveryDays) / DAYS_PER_WEEK, cost: interval.costPerYearCheapest },
  }
}

function proposalView(stored: unknown): Why['proposal'] {
  if (stored === null) return null
  const { intervalDays, saving } = storedProposalSchema.parse(stored)
  return { intervalDays, saving: savingView(saving) }
}
