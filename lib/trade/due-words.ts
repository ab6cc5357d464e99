/** The sentences behind a due date: one for the people who do the work, one that a client may read. */
import type { DueInput, DueRule } from './due-types'
import type { IntervalAdvice } from './intervals'

type Facts = DueInput & {
  rule: DueRule
  dueDay: number | null
  medianDays: number
  intervalDays: number
  limitDays: number
  costPerYear: number
  costPerYearWaiting: number
  wearsOut: boolean
  advice: IntervalAdvice
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
  const inTen = Math.round(share * 10)
  if (inTen > 9) return 'nearly every need reaches the client before we do'
  if (share > 0.35) return `${SMALL_NUMBERS[inTen] ?? inTen} needs in ten reach the client before we do`
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
    case 'wears':
      return `${facts.wear?.words ?? 'Its readings show wear'}.`
    case 'run-to-failure':
      return `${likeThis(facts)}. ${waitingWords(facts)}${betterWords(facts)}`
    case 'age-unknown':
      return `${plannedWords(facts)} When it was last renewed is not known; its age is taken from how long it has lasted in our sight.`
    case 'cheapest':
      return plannedWords(facts)
  }
}

function likeThis({ medianDays, costs }: Facts): string {
  return `At this tank it is needed within ${spanInWords(medianDays)} every other time; ${shareInWords(costs.shareReported)}`
}

/** Why nothing is done before it is needed. */
function waitingWords({ wearsOut, advice }: Facts): string {
  if (!wearsOut) return 'Cleaning earlier does not help; remove the cause or look more often.'
  if (advice.cheapestDays === Number.POSITIVE_INFINITY)
    return 'Waiting until it is needed is cheapest at these visits and costs.'
  return 'Done only when it is needed.'
}

function plannedWords(facts: Facts): string {
  const { advice, intervalDays, intervalSource } = facts
  const money = facts.formatMoney ?? plainMoney
  if (advice.cheapestDays === intervalDays) {
    const saved = facts.costPerYearWaiting - facts.costPerYear
    const saving = saved >= 100 ? `, about ${money(saved)} a year less than waiting` : ''
    return `${likeThis(facts)}; every ${spanInWords(intervalDays)} is cheapest${saving}.`
  }
  const planned = `every ${spanInWords(intervalDays)} ${intervalSource === 'accepted' ? 'as you chose' : 'to start with'}`
  return `${likeThis(facts)}; planned ${planned}.${betterWords(facts)}`
}

/** What another interval would save, where it is worth a question. */
function betterWords({ advice, formatMoney }: Facts): string {
  if (!advice.proposes) return ''
  const money = (formatMoney ?? plainMoney)(advice.saving.mean)
  const better =
    advice.cheapestDays === Number.POSITIVE_INFINITY
      ? 'Waiting until it is needed'
      : `Every ${spanInWords(advice.cheapestDays)}`
  return ` ${better} would save about ${money} a year.`
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
    case 'wears':
    case 'run-to-failure':
    case 'never-seen':
      return `${taskName}: looked at on our visits and done when it is time.`
    case 'not-watched':
      return `${taskName}: resting for now.`
  }
}
