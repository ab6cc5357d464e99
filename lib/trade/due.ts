/**
 * When a device is due for a task, from the life model and its own lane, and why, in words and money. What is kept are days
 * and parameters, never "the chance today".
 */
import {
  ageAtFirstSight,
  conditionalQuantiles,
  type Life,
  meanLife,
  quantileOf,
  remainingQuantiles,
  survivalAt,
} from '@/lib/science'
import type { DueCosts } from './due-costs'
import type { Due, DueInput, DueRule, ModelInDays } from './due-types'
import { dueWords } from './due-words'
import { adviseInterval, startingIntervalDays } from './intervals'
import { labourMinorPerMinute } from './labour'

/** Starting costs, from memory: a call-out of an hour and a half beside the work, a day of a hidden fault some 40 seconds, one need in ten reported. */
const POUNDS = labourMinorPerMinute('GBP')
const EXTRA_MINUTES_WHEN_FOUND = 20
const CALL_OUT_MINUTES = 90
const HIDDEN_MINUTES_PER_DAY = 0.625
const SHARE_REPORTED = 0.1
const SHARE_REPORTED_ANNOUNCING = 0.9

/** Costs to start from, until the business states its own. `parts` and what a minute of work costs in minor units. */
export function defaultCosts({
  minutes,
  announcesItself,
  parts = 0,
  perMinute = POUNDS,
}: {
  minutes: number
  announcesItself: boolean
  parts?: number
  perMinute?: number
}): DueCosts {
  const work = (extraMinutes: number) => parts + (minutes + extraMinutes) * perMinute
  return {
    planned: work(0),
    found: work(EXTRA_MINUTES_WHEN_FOUND),
    callOut: work(CALL_OUT_MINUTES),
    hiddenCostPerDay: HIDDEN_MINUTES_PER_DAY * perMinute,
    shareReported: announcesItself ? SHARE_REPORTED_ANNOUNCING : SHARE_REPORTED,
  }
}

const DAYS_PER_WEEK = 7
const BAND_PROBABILITIES = [0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95] as const
const LOOK_BY_PROBABILITY = 0.1
/** A due date is a whole day: a quantile to a quarter of a day is near enough. The posterior has seen the running life: its draws hold how long it has lasted. */
const REACHED = { within: 0.25, alreadyWeighed: true }

/**
 * Due date of a task on one device for one mode: the interval in force from its last renewal, brought forward by an age limit, an open need or a measured
 * path that crosses its threshold earlier.
 * Units: days, minor units of money. Domain: shape, scale and cadence above 0, costs 0 or more, share from 0 to 1.
 * @throws RangeError outside the domain.
 */
export function dueOf(input: DueInput): Due {
  const { model, lane, mode, costs, visitEveryDays } = input
  const life = 'draws' in model ? model : { shape: model.shape, scale: model.scaleDays }
  const limitDays = mode.ageLimitWeeks === undefined ? Number.POSITIVE_INFINITY : mode.ageLimitWeeks * DAYS_PER_WEEK
  const question = { life, costs, visitEveryDays, limitDays }
  const advice = input.advice ?? adviseInterval({ ...question, inForceDays: startingIntervalDays(question) })
  const since = sinceWhen(input, life)
  const facts = {
    medianDays: quantileOf(life, 0.5),
    intervalDays: advice.inForceDays,
    costPerYear: advice.costPerYear,
    costPerYearWaiting: advice.costPerYearWaiting,
    advice,
    wearsOut: meanShape(model) > 1,
  }
  const { rule, dueDay } = ruleAndDay(input, since, advice.inForceDays, limitDays)
  const band = bandOf(life, lane)
  const lookByDay = band.find(({ probability }) => probability >= LOOK_BY_PROBABILITY)?.day ?? null
  const { advice: _, ...stored } = facts
  return { dueDay, rule, lookByDay, band, ...stored, ...dueWords({ ...input, ...facts, rule, dueDay, limitDays }) }
}

/** The day from which the present life counts; for one of unknown age the likely one, given how long it has lasted in our sight. */
function sinceWhen({ lane }: DueInput, life: Life): number | null {
  if (lane.originDay !== null) return lane.originDay
  if (lane.state !== 'age_unknown' || lane.firstSeenDay === null) return null
  return lane.firstSeenDay - ageAtFirstSight(life, observedDays(lane, lane.firstSeenDay), REACHED)
}

/** How long it is known to have lasted since a day. */
function observedDays({ fineUntilDay }: DueInput['lane'], sinceDay: number): number {
  return Math.max(0, (fineUntilDay ?? sinceDay) - sinceDay)
}

function ruleAndDay(input: DueInput, since: number | null, intervalDays: number, limitDays: number): Planned {
  const { lane, wear } = input
  if (lane.state === 'found') return { rule: 'need-open', dueDay: lane.needOpenSince }
  if (lane.state === 'paused') return { rule: 'not-watched', dueDay: null }
  const planned = plannedDay(input, since, intervalDays, limitDays)
  if (wear && wear.day < (planned.dueDay ?? Number.POSITIVE_INFINITY))
    return { rule: 'wears', dueDay: Math.round(wear.day) }
  return planned
}

type Planned = { rule: DueRule; dueDay: number | null }

function plannedDay(input: DueInput, since: number | null, intervalDays: number, limitDays: number): Planned {
  const limit = byAgeLimit(input, limitDays)
  // An age limit overrides what records say, and a shorter interval does not lift it.
  if (limit && limitDays <= intervalDays) return limit
  const planned = byInterval(input.lane, since, intervalDays)
  return limit && limit.dueDay <= (planned.dueDay ?? Number.POSITIVE_INFINITY) ? limit : planned
}

function byInterval(lane: DueInput['lane'], since: number | null, intervalDays: number): Planned {
  if (lane.state === 'never_seen' || since === null) return { rule: 'never-seen', dueDay: null }
  if (intervalDays === Number.POSITIVE_INFINITY) return { rule: 'run-to-failure', dueDay: null }
  return { rule: lane.originDay === null ? 'age-unknown' : 'cheapest', dueDay: Math.round(since + intervalDays) }
}

/** Where nobody knows the age the limit is taken as reached; null where there is none, or nothing was ever seen of the device. */
function byAgeLimit(
  { lane, saidInstalledDay, inServiceSinceDay }: DueInput,
  limitDays: number,
): { rule: DueRule; dueDay: number } | null {
  if (limitDays === Number.POSITIVE_INFINITY) return null
  const from = lane.originDay ?? saidInstalledDay
  if (from !== undefined) return { rule: 'age-limit', dueDay: Math.round(from + limitDays) }
  const seenDay = lane.firstSeenDay ?? inServiceSinceDay
  return seenDay === undefined ? null : { rule: 'age-limit', dueDay: seenDay }
}

/** Quantiles of the life from the day up to which it is known to be fine; where nobody knows the age, of what is left of a life met by chance. */
function bandOf(life: Life, lane: DueInput['lane']): Due['band'] {
  const band = (days: readonly number[], sinceDay: number) =>
    BAND_PROBABILITIES.map((probability, i) => ({ day: Math.ceil(sinceDay + (days[i] ?? 0)), probability }))
  if (lane.state === 'running' && lane.originDay !== null) {
    const age = observedDays(lane, lane.originDay)
    const met = metAtAge(life, lane.watchedFromAge ?? 0)
    return band(conditionalQuantiles(met, age, BAND_PROBABILITIES, REACHED), lane.originDay)
  }
  if (lane.state !== 'age_unknown' || lane.firstSeenDay === null) return []
  const observed = observedDays(lane, lane.firstSeenDay)
  return band(remainingQuantiles(life, observed, BAND_PROBABILITIES, REACHED), lane.firstSeenDay + observed)
}

/**
 * A device that had run for so long when it came into sight: the posterior has seen how long it lasted from there and not that it was met at that age, which is likelier the longer such
 * devices last (density S(age) / mean life of a running renewal process; Cox 1962, Renewal Theory, ch. 5).
 */
function metAtAge(life: Life, ageDays: number): Life {
  if (!('draws' in life) || ageDays <= 0) return life
  const draws = life.draws.map((draw) => ({
    ...draw,
    weight: (draw.weight * survivalAt(draw, ageDays)) / meanLife(draw),
  }))
  return draws.some(({ weight }) => weight > 0) ? { draws } : life
}

function meanShape(model: ModelInDays): number {
  if (!('draws' in model)) return model.shape
  const total = model.draws.reduce((sum, { weight }) => sum + weight, 0)
  return model.draws.reduce((sum, { shape, weight }) => sum + (shape * weight) / total, 0)
}
