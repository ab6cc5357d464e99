/**
 * When a device is due for a task, from the life model and its own lane, and why, in words and money. What is kept are days
 * and parameters, never "the chance today".
 */
import { conditionalQuantile, quantileOf, visitReplacement } from '@/lib/science'
import type { Due, DueCosts, DueInput, DueRule, ModelInDays } from './due-types'
import { dueWords } from './due-words'

/** Starting costs, from memory: an hour at 48.00, a call-out of an hour and a half beside the work, one need in ten reported. */
const MINOR_UNITS_PER_MINUTE = 80
const EXTRA_MINUTES_WHEN_FOUND = 20
const CALL_OUT_MINUTES = 90
const HIDDEN_COST_PER_DAY = 50
const SHARE_REPORTED = 0.1
const SHARE_REPORTED_ANNOUNCING = 0.9

/** Costs to start from, until the business states its own. `parts` in minor units. */
export function defaultCosts({
  minutes,
  announcesItself,
  parts = 0,
}: {
  minutes: number
  announcesItself: boolean
  parts?: number
}): DueCosts {
  const work = (extraMinutes: number) => parts + (minutes + extraMinutes) * MINOR_UNITS_PER_MINUTE
  return {
    planned: work(0),
    found: work(EXTRA_MINUTES_WHEN_FOUND),
    callOut: work(CALL_OUT_MINUTES),
    hiddenCostPerDay: HIDDEN_COST_PER_DAY,
    shareReported: announcesItself ? SHARE_REPORTED_ANNOUNCING : SHARE_REPORTED,
  }
}

const DAYS_PER_WEEK = 7
const DAYS_PER_YEAR = 365.25
const BAND_PROBABILITIES = [0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95] as const
const LOOK_BY_PROBABILITY = 0.1

/**
 * Due date of a task on one device for one mode.
 * Units: days, minor units of money. Domain: shape, scale and cadence above 0, costs 0 or more, share from 0 to 1.
 * @throws RangeError outside the domain.
 */
export function dueOf(input: DueInput): Due {
  const { model, lane, mode, costs, visitEveryDays } = input
  const life = 'draws' in model ? model : { shape: model.shape, scale: model.scaleDays }
  const policy = visitReplacement(life, { visitEvery: visitEveryDays, ...costs })
  const limitDays = mode.ageLimitWeeks === undefined ? Number.POSITIVE_INFINITY : mode.ageLimitWeeks * DAYS_PER_WEEK
  const cheapestDays = policy.afterVisits * visitEveryDays
  const facts = {
    medianDays: quantileOf(life, 0.5),
    intervalDays: Math.min(cheapestDays, limitDays),
    costPerYear: policy.costRate * DAYS_PER_YEAR,
    costPerYearWaiting: policy.costRateRunToFailure * DAYS_PER_YEAR,
    wearsOut: meanShape(model) > 1,
  }
  const { rule, dueDay } = ruleAndDay(input, cheapestDays, limitDays)
  const band = bandOf(life, lane)
  const lookByDay = band.find(({ probability }) => probability >= LOOK_BY_PROBABILITY)?.day ?? null
  return { dueDay, rule, lookByDay, band, ...facts, ...dueWords({ ...input, ...facts, rule, dueDay, limitDays }) }
}

function ruleAndDay(
  { lane, saidInstalledDay }: DueInput,
  cheapestDays: number,
  limitDays: number,
): { rule: DueRule; dueDay: number | null } {
  const day = (value: number) => Math.round(value)
  if (lane.state === 'found') return { rule: 'need-open', dueDay: lane.needOpenSince }
  if (lane.state === 'paused') return { rule: 'not-watched', dueDay: null }
  if (limitDays <= cheapestDays && limitDays < Number.POSITIVE_INFINITY) {
    // An age limit overrides what records say; where nobody knows the age the limit is taken as reached.
    const since = lane.originDay ?? saidInstalledDay
    if (since !== undefined) return { rule: 'age-limit', dueDay: day(since + limitDays) }
    return lane.firstSeenDay === null
      ? { rule: 'never-seen', dueDay: null }
      : { rule: 'age-limit', dueDay: lane.firstSeenDay }
  }
  if (lane.state === 'never_seen') return { rule: 'never-seen', dueDay: null }
  if (cheapestDays === Number.POSITIVE_INFINITY) return { rule: 'run-to-failure', dueDay: null }
  if (lane.originDay !== null) return { rule: 'cheapest', dueDay: day(lane.originDay + cheapestDays) }
  // Under any regular cadence a device met by chance is half an interval old on average.
  return { rule: 'age-unknown', dueDay: lane.firstSeenDay === null ? null : day(lane.firstSeenDay + cheapestDays / 2) }
}

/** Conditional quantiles of the life from the day on which it was last seen ok. A life of unknown age has no band. */
function bandOf(life: Parameters<typeof quantileOf>[0], lane: DueInput['lane']): Due['band'] {
  const { originDay, lastOkDay } = lane
  if (lane.state !== 'running' || originDay === null) return []
  const seenAge = Math.max(0, (lastOkDay ?? originDay) - originDay)
  return BAND_PROBABILITIES.map((probability) => ({
    day: Math.ceil(originDay + conditionalQuantile(life, seenAge, probability)),
    probability,
  }))
}

function meanShape(model: ModelInDays): number {
  if (!('draws' in model)) return model.shape
  const total = model.draws.reduce((sum, { weight }) => sum + weight, 0)
  return model.draws.reduce((sum, { shape, weight }) => sum + (shape * weight) / total, 0)
}
