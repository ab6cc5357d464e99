/**
 * How often to renew: the cheapest interval for one tank and task, what it saves against the interval that holds now, and
 * whether the difference is worth asking the owner. Intervals come in steps a person would choose, so that they do not wander
 * by a day with every new record.
 */
import { type Life, type PolicySaving, policySaving, visitPolicyCosts } from '@/lib/science'
import type { DueCosts } from './due-costs'

const DAYS_PER_WEEK = 7
const DAYS_PER_YEAR = 365.25

/** Weeks that people plan in. Common practice, no source. */
const STEPS_WEEKS = [
  1, 2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 32, 36, 40, 45, 52, 60, 68, 78, 91, 104, 117, 130,
  156, 182, 208, 260,
] as const

/** A saving below five minutes' work a year (at the starting rate, 80 minor units a minute) is not worth a date. Common practice, no source. */
export const SMALLEST_SAVING_MINOR = 400
/** The owner is asked where the change saves in at least this share of what the records leave possible. Common practice, no source. */
const SURE_ENOUGH = 0.8
/** Beyond the age that so few reach a plan is the same as waiting. */
const HARDLY_ANY = 0.02

export type IntervalAdvice = {
  /** The interval that holds now, days; Infinity: only when it is needed. */
  inForceDays: number
  /** The cheapest one. Never beyond an age limit. */
  cheapestDays: number
  /** Minor units a year under the interval in force, the cheapest, and waiting (up to an age limit, where there is one). */
  costPerYear: number
  costPerYearCheapest: number
  costPerYearWaiting: number
  /** Minor units a year that the cheapest saves against the interval in force. */
  saving: PolicySaving
  /** The same against what was done so far, where the records tell. */
  savingOnHabit: PolicySaving | null
  /** Worth asking the owner. */
  proposes: boolean
}

export type IntervalQuestion = {
  life: Life
  costs: DueCosts
  visitEveryDays: number
  inForceDays: number
  /** How old it was, in the middle, when it was renewed without a need; Infinity: only ever when needed. */
  habitDays?: number
  /** Age limit of a safety-critical device: no cost lifts it. */
  limitDays?: number
}

/**
 * Intervals in whole visits nearest to the steps people plan in, from one visit to `longestDays`; rising, each once.
 * Units: days. Domain: visitEveryDays above 0.
 */
export function plannedVisits(visitEveryDays: number, longestDays: number): number[] {
  const visits = STEPS_WEEKS.map((weeks) => Math.max(1, Math.round((weeks * DAYS_PER_WEEK) / visitEveryDays)))
  return [...new Set(visits)].filter((plan) => plan === 1 || plan * visitEveryDays <= longestDays)
}

/**
 * The cheapest interval and what it saves. Costs in minor units, life in days.
 * Where the cheapest saves less than five minutes' work a year against waiting, waiting is the answer.
 * @throws RangeError on a life, cost or cadence outside its domain.
 */
export function adviseInterval(question: IntervalQuestion): IntervalAdvice {
  const { life, costs, visitEveryDays, habitDays, limitDays = Number.POSITIVE_INFINITY } = question
  const longest = Math.min(limitDays, longestWorthTrying(life))
  const visitsFor = (days: number) =>
    days === Number.POSITIVE_INFINITY ? days : Math.max(1, Math.round(days / visitEveryDays))
  const steps = plannedVisits(visitEveryDays, longest)
  const inForceDays = Math.min(question.inForceDays, limitDays)
  // Who waits for a need under an age limit renews at the last visit before it.
  const lastVisit =
    limitDays === Number.POSITIVE_INFINITY ? limitDays : Math.max(1, Math.floor(limitDays / visitEveryDays))
  const plans = [...steps, lastVisit, Math.min(visitsFor(inForceDays), lastVisit)]
  if (habitDays !== undefined) plans.push(visitsFor(habitDays))
  const table = visitPolicyCosts(life, { visitEvery: visitEveryDays, ...costs }, plans)
  const waiting = steps.length
  const inForce = steps.length + 1
  let best = steps.length > 0 && wearsOut(life) ? 0 : waiting
  const mean = (plan: number) => table.means[plan] ?? Number.POSITIVE_INFINITY
  if (best !== waiting) for (let plan = 1; plan < waiting; plan++) if (mean(plan) < mean(best)) best = plan
  if ((mean(waiting) - mean(best)) * DAYS_PER_YEAR < SMALLEST_SAVING_MINOR) best = waiting
  const cheapestDays = best === waiting ? limitDays : Math.min((table.visits[best] ?? 1) * visitEveryDays, limitDays)
  const saving = perYear(policySaving(table, inForce, best))
  return {
    inForceDays,
    cheapestDays,
    costPerYear: mean(inForce) * DAYS_PER_YEAR,
    costPerYearCheapest: mean(best) * DAYS_PER_YEAR,
    costPerYearWaiting: mean(waiting) * DAYS_PER_YEAR,
    saving,
    savingOnHabit: habitDays === undefined ? null : perYear(policySaving(table, inForce + 1, best)),
    proposes: cheapestDays !== inForceDays && saving.mean >= SMALLEST_SAVING_MINOR && saving.chance >= SURE_ENOUGH,
  }
}

/**
 * The interval to start from, before the owner has chosen one: the cheapest under the trade's own figures.
 * Units: days. @throws RangeError as `adviseInterval`.
 */
export function startingIntervalDays(question: Omit<IntervalQuestion, 'inForceDays' | 'habitDays'>): number {
  return adviseInterval({ ...question, inForceDays: Number.POSITIVE_INFINITY }).cheapestDays
}

function perYear({ mean, lower, upper, chance }: PolicySaving): PolicySaving {
  return { mean: mean * DAYS_PER_YEAR, lower: lower * DAYS_PER_YEAR, upper: upper * DAYS_PER_YEAR, chance }
}

/** In at least one draw earlier work is better than later: else renewing a sound part gains nothing. */
function wearsOut(life: Life): boolean {
  return 'draws' in life ? life.draws.some(({ shape, weight }) => weight > 0 && shape > 1) : life.shape > 1
}

function longestWorthTrying(life: Life): number {
  const parts = 'draws' in life ? life.draws : [life]
  return Math.max(...parts.map(({ shape, scale }) => scale * (-Math.log(HARDLY_ANY)) ** (1 / shape)))
}
