/** The sentences behind a due date: one for the people who do the work, one that a client may read. */
import type { DueInput, DueRule } from './due-types'

type Facts = DueInput & {
  rule: DueRule
  dueDay: number | null
  medianDays: number
  intervalDays: number
  limitDays: number
  costPerYear: number
  costPerYearWaiting: number
  wearsOut: boolean
}

const SMALL_NUMBERS = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
]

/** 182 → "26 weeks"; shorter than three weeks in days. */
export function spanInWords(days: number): string {
  if (days < 21) return `${Math.round(days)} ${Math.round(days) === 1 ? 'day' : 'days'}`
  return `${Math.round(days / 7)} weeks`
}

/** 0.1 → "one need in ten reaches the client before we do". */
export function shareInWords(share: number): string {
  if (share < 0.005) return 'hardly a need reaches the client before we do'
  if (share > 0.95) return 'nearly every need reaches the client before we do'
  if (share > 0.4) return `${Math.round(share * 10)} needs in ten reach the client before we do`
  const oneIn = Math.round(1 / share)
  return `one need in ${SMALL_NUMBERS[oneIn] ?? oneIn} reaches the client before we do`
}

/** Minor units → whole units without a currency. */
const plainMoney = (minorUnits: number) => Math.round(minorUnits / 100).toString()

/** Builds both sentences. No odds in `clientWords`. */
export function dueWords(facts: Facts): { reason: string; clientWords: string } {
  return { reason: reasonOf(facts), clientWords: clientWordsOf(facts) }
}

function reasonOf(facts: Facts): string {
  const { rule, limitDays } = facts
  switch (rule) {
    case 'need-open':
      return 'It was found needed and has not been renewed since: do it at the next visit.'
    case 'not-watched':
      return 'Paused or taken out: nothing is due until it is renewed.'
    case 'never-seen':
      return 'Nobody has looked at it closely enough yet: look at the next visit.'
    case 'age-limit':
      return facts.lane.originDay === null && facts.saidInstalledDay === undefined
        ? `To be replaced at ${spanInWords(limitDays)} whatever its condition, because a failure can kill. Its age is not known: find it out or replace it.`
        : `To be replaced at ${spanInWords(limitDays)} whatever its condition, because a failure can kill.`
    case 'run-to-failure':
      return !facts.wearsOut
        ? `${likeThis(facts)}. Cleaning earlier does not help; remove the cause or look more often.`
        : `${likeThis(facts)}. Waiting until it is needed is cheapest at these visits and costs.`
    case 'age-unknown':
      return `${cheapest(facts)}. When it was last renewed is not known; it is taken as half that old when first seen.`
    case 'cheapest':
      return `${cheapest(facts)}.`
  }
}

function likeThis({ medianDays, costs }: Facts): string {
  return `Half of the tanks like this need it by ${spanInWords(medianDays)}; ${shareInWords(costs.shareReported)}`
}

function cheapest(facts: Facts): string {
  const saved = facts.costPerYearWaiting - facts.costPerYear
  const money = (facts.formatMoney ?? plainMoney)(saved)
  const saving = saved >= 100 ? `; about ${money} a year less than waiting` : ''
  return `${likeThis(facts)}; every ${spanInWords(facts.intervalDays)} is cheapest${saving}`
}

function clientWordsOf({ rule, taskName, intervalDays, limitDays }: Facts): string {
  switch (rule) {
    case 'need-open':
      return `${taskName}: will be done at the next visit.`
    case 'age-limit':
      return `${taskName}: exchanged as a precaution every ${spanInWords(limitDays)}.`
    case 'cheapest':
    case 'age-unknown':
      return `${taskName}: done about every ${spanInWords(intervalDays)}.`
    case 'run-to-failure':
    case 'never-seen':
      return `${taskName}: looked at on our visits and done when it is time.`
    case 'not-watched':
      return `${taskName}: resting for now.`
  }
}
