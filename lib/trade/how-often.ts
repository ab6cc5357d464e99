/** How often to come to a tank: what visits, defects and failures cost a year at a few cadences, and the answer in words. */
import { type DelayTimeDraw, type DelayTimeFit, inspectionOptions, type MeanDelayPrior } from '@/lib/science'
import { chanceInWords, timesInWords } from './certainty'
import { labourMinorPerMinute } from './labour'

/**
 * Prior of the time from "needs it" to "failed", days: half within eight weeks, 90 % between one week and a year and some. From memory; the
 * business's own visits override it.
 */
export const DELAY_PRIOR: MeanDelayPrior = { median: 56, sdOfLog: 1.2 }
/** The choices that are always weighed, days. */
const CADENCES = [7, 14, 28] as const

/** From how many defects and failures on the route an answer is shown. Common practice, no source. */
const ENOUGH = { defects: 20, failures: 5 }

/** Minor units of the business's money. */
export type VisitingCosts = {
  /** Travel and time of one visit. */
  visit: number
  /** Putting right what a visit found. */
  defect: number
  /** What a failure costs: the drive out, goodwill, animals. */
  failure: number
}

/** Starting figures: minutes on the road, days until a failure is put right. From memory. */
const START = { travelMinutes: 20, daysUntilThere: 1 }

/** Costs from what an agreement, the cost settings and the client's own figures say. */
export function visitingCosts(known: {
  visitMinutes: number
  /** Minor units of a minute of work; that of pounds where it is left out. */
  perMinute?: number
  found: number
  callOut: number
  client: { travelMinor: number; goodwillMinor: number; animalsPerDayMinor: number } | null
}): VisitingCosts {
  const { visitMinutes, perMinute = labourMinorPerMinute('GBP'), found, callOut, client } = known
  const travel = client && client.travelMinor > 0 ? client.travelMinor : START.travelMinutes * perMinute
  return {
    visit: visitMinutes * perMinute + travel,
    defect: found,
    failure:
      callOut +
      (client?.travelMinor ?? 0) +
      (client?.goodwillMinor ?? 0) +
      (client?.animalsPerDayMinor ?? 0) * START.daysUntilThere,
  }
}

export type VisitOption = {
  days: number
  /** Minor units a year, with the 90 % interval. */
  mean: number
  lower: number
  upper: number
  /** Failures a year. */
  failures: number
  chanceCheapest: number
  /** That it is cheaper than the present cadence; 0 for the present one. */
  chanceCheaper: number
}

export type HowOften = {
  options: VisitOption[]
  present: VisitOption
  cheapest: VisitOption
  /** Worth another cadence: cheaper in at least 4 of 5 of what the records leave possible, and by more than trifles. */
  change: boolean
  /** Minor units a year that the cheapest saves against the present cadence. */
  saving: number
  /** What a failure would have to cost, minor units, for the present cadence to be as cheap; null where the cheapest has no more failures. */
  breakEvenFailure: number | null
  sentence: string
}

const DAYS_PER_YEAR = 365.25
const SURE_ENOUGH = 0.8
/** A change that saves less than this part of the present cost is not worth a new agreement. Common practice, no source. */
const TRIFLE = 0.05

/** Whether the route has seen enough to answer, and what is missing in words. */
export function missingForHowOften(counted: { found: number; failed: number }): string | null {
  if (counted.failed < ENOUGH.failures)
    return `${onRecord(counted.failed, ENOUGH.failures, 'failures')}: log what clients report, and "failed" where something had stopped.`
  if (counted.found < ENOUGH.defects) return `${onRecord(counted.found, ENOUGH.defects, 'needs found at visits')} yet.`
  return null
}

function onRecord(count: number, enough: number, what: string): string {
  const have = count === 0 ? 'None' : `Only ${count}`
  return `${have} of the ${enough} ${what} that an answer needs ${count > 1 ? 'are' : 'is'} on record`
}

/**
 * Cost of a visit every so many days: costs a year { mean, lower, upper } for each cadence and the chance that each is the cheapest.
 * `presentDays` is weighed too. Costs in minor units. @throws RangeError outside the domain of `inspectionOptions`.
 */
export function costOfVisitEvery(
  draws: readonly DelayTimeDraw[],
  { visit, defect, failure }: VisitingCosts,
  presentDays: number,
  choices: readonly number[] = CADENCES,
): { present: VisitOption; options: VisitOption[] } {
  const days = [presentDays, ...choices.filter((choice) => choice !== presentDays)]
  const costs = { inspection: visit, defect, failure }
  const [first, ...others] = inspectionOptions(draws, costs, days).map(
    (option): VisitOption => ({
      days: option.interval,
      mean: option.mean * DAYS_PER_YEAR,
      lower: option.lower * DAYS_PER_YEAR,
      upper: option.upper * DAYS_PER_YEAR,
      failures: option.failures * DAYS_PER_YEAR,
      chanceCheapest: option.chanceCheapest,
      chanceCheaper: option.chanceCheaperThanFirst,
    }),
  )
  if (!first) throw new RangeError('a cadence is needed')
  return { present: first, options: [first, ...others].sort((one, other) => one.days - other.days) }
}

/** The answer for one tank from its own part of the fit. `formatMoney`: minor units → text. */
export function howOften(
  unit: DelayTimeFit['units'][number],
  costs: VisitingCosts,
  presentDays: number,
  formatMoney: (minor: number) => string,
): HowOften {
  const { present, options } = costOfVisitEvery(unit.draws, costs, presentDays)
  const cheapest = options.reduce((best, option) => (option.mean < best.mean ? option : best), present)
  const saving = present.mean - cheapest.mean
  const change = cheapest !== present && cheapest.chanceCheaper >= SURE_ENOUGH && saving > TRIFLE * present.mean
  const moreFailures = cheapest.failures - present.failures
  const breakEvenFailure = moreFailures > 1e-6 ? costs.failure + saving / moreFailures : null
  const answer = { options, present, cheapest, change, saving, breakEvenFailure }
  return { ...answer, sentence: change ? changeWords(answer, formatMoney) : stayWords(answer, formatMoney) }
}

type Answer = Omit<HowOften, 'sentence'>

function changeWords(
  { present, cheapest, saving, breakEvenFailure }: Answer,
  money: (minor: number) => string,
): string {
  return `${capital(cadenceInWords(cheapest.days))} would cost about ${money(saving)} less a year than ${cadenceInWords(present.days)}, with ${failuresInWords(cheapest, present)}; we are ${chanceInWords(cheapest.chanceCheaper)} sure that it is cheaper${whileWords(breakEvenFailure, money)}.`
}

/** The one figure that an owner can judge better than any record: what a failure is worth. */
function whileWords(breakEvenFailure: number | null, money: (minor: number) => string): string {
  return breakEvenFailure === null ? '' : ` as long as a failure costs you less than ${money(breakEvenFailure)}`
}

function stayWords({ options, present, cheapest }: Answer, money: (minor: number) => string): string {
  const others = options
    .filter((option) => option !== present)
    .map((option) => {
      const more = option.mean - present.mean
      const failures = option.days > present.days ? ` with ${failuresInWords(option, present)}` : ''
      return `${cadenceInWords(option.days)} about ${money(Math.abs(more))} ${more > 0 ? 'more' : 'less'} a year${failures}`
    })
  const sure =
    cheapest === present
      ? `we are ${chanceInWords(present.chanceCheapest)} sure that it is the cheapest of these`
      : `that ${cadenceInWords(cheapest.days)} is cheaper is ${chanceInWords(cheapest.chanceCheaper)} likely, and the difference is ${cheapest.chanceCheaper >= SURE_ENOUGH ? 'small' : 'not sure'}`
  return `${capital(cadenceInWords(present.days))} is about right: ${others.join(', ')}; ${sure}.`
}

/** "twice the failures" against the present cadence; "hardly a failure either way" where both are rare. */
function failuresInWords(option: VisitOption, present: VisitOption): string {
  if (Math.max(option.failures, present.failures) < 0.05) return 'hardly a failure either way'
  const ratio = option.failures / Math.max(present.failures, 1e-9)
  if (Math.abs(ratio - 1) < 0.08) return 'as many failures'
  return `${timesInWords(ratio)} the failures`
}

const NUMBERS = ['', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight']

/** 14 → "every two weeks". */
export function cadenceInWords(days: number): string {
  if (days === 1) return 'every day'
  if (days === 7) return 'every week'
  const weeks = days / 7
  return Number.isInteger(weeks) ? `every ${NUMBERS[weeks] ?? weeks} weeks` : `every ${days} days`
}

const capital = (words: string) => words.charAt(0).toUpperCase() + words.slice(1)
