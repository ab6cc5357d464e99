/** The lines of months that are open. Pure. */
import type { ChargeShare } from './charge'
import { minorToDecimalText } from './currency'
import { countInWords, daysInWords, monthInWords, periodInWords } from './dates-in-words'
import {
  DIFFERENCE,
  type DraftProblem,
  groupKey,
  type MonthToBill,
  makePiece,
  type Piece,
  settled,
} from './draft-pieces'
import type { MonthCharge } from './month-charge'
import { firstDay, lastDay, monthAfter } from './months'
import { moneyInWords } from './paper-manner'
import type { Billable, VisitToBill } from './work-charge'

function visitsInWords(visits: readonly VisitToBill[]): string {
  const made = visits.filter((visit) => visit.outcome !== 'no_access')
  const refused = visits.filter((visit) => visit.outcome === 'no_access')
  const dates = (some: readonly VisitToBill[]) => daysInWords(some.map((visit) => visit.date))
  const words = [`${countInWords(made.length, 'visit', 'visits')}${made.length > 0 ? ` (${dates(made)})` : ''}`]
  if (refused.length > 0) words.push(`no access ${dates(refused)}`)
  return words.join(', ')
}

type OpenMonth = MonthToBill & { billable: Billable; share: ChargeShare; openMinor: number }

function openMonths(item: MonthToBill): OpenMonth[] {
  return item.standing.payers.flatMap(({ payerId, openMinor }) => {
    const billable = item.billables.find((known) => known.payerId === payerId)
    const share = item.month.shares?.find((known) => known.payerId === payerId)
    return openMinor > 0 && billable && share ? [{ ...item, billable, share, openMinor }] : []
  })
}

const isWhole = ({ month, share, standing, openMinor }: OpenMonth) =>
  standing.isFresh &&
  month.coveredDays === month.days &&
  month.feesMinor.length === 1 &&
  month.shares?.length === 1 &&
  openMinor === share.dueMinor

/** Months that one line can say: one after the other, whole, at one fee, for one payer and order. */
function runsOf(months: readonly OpenMonth[]): OpenMonth[][] {
  const runs: OpenMonth[][] = []
  for (const month of months) {
    const run = runs.at(-1)
    const last = run?.at(-1)
    const follows =
      last !== undefined &&
      isWhole(last) &&
      isWhole(month) &&
      last.month.agreementId === month.month.agreementId &&
      last.openMinor === month.openMinor &&
      groupKey(last.billable) === groupKey(month.billable) &&
      monthAfter(last.month.period) === month.month.period
    if (run && follows) run.push(month)
    else runs.push([month])
  }
  return runs
}

/** "10 days at £210.00, 20 days at £252.00 a month": the payer's days of a month that is billed by days. */
function feeDaysInWords({ month, share, billable }: OpenMonth): string {
  const own = month.feeDays.filter(({ payerId }) => payerId === share.payerId)
  const words = own.map(({ feeMinor, days }) => {
    const fee = moneyInWords(feeMinor, billable.currency, billable.locale ?? 'en-GB')
    return `${days} ${days === 1 ? 'day' : 'days'} at ${fee}`
  })
  return `${words.join(', ')} a month`
}

function monthPiece(run: readonly OpenMonth[]): Piece[] {
  const [first] = run
  const last = run.at(-1)
  if (!first || !last) return []
  const whole = isWhole(first)
  const serviceStart = whole ? firstDay(first.month.period) : first.share.from
  const serviceEnd = whole ? lastDay(last.month.period) : last.share.to
  const named = run.flatMap(({ visits }) => visits).filter(({ date }) => date >= serviceStart && date <= serviceEnd)
  const period = serviceEnd === lastDay(last.month.period) && serviceStart === firstDay(first.month.period)
  const byDays = !whole && first.standing.isFresh && first.month.facts === 'pro_rata'
  const days = period ? monthInWords(first.month.period) : periodInWords(serviceStart, serviceEnd)
  const description = !first.standing.isFresh
    ? `Agreement, ${days}, ${DIFFERENCE}`
    : `Agreement, ${whole ? '' : `${days}, `}${byDays ? `${feeDaysInWords(first)}, ` : ''}${visitsInWords(named)}`
  const piece = makePiece(first.billable, 0, {
    charges: run.map(({ standing, openMinor }) => settled(standing, openMinor)),
    agreementId: last.month.agreementId,
    description,
    quantity: String(run.length),
    unit: byDays ? '' : run.length === 1 ? 'month' : 'months', // days of a month are none
    unitPrice: minorToDecimalText(first.openMinor, first.billable.currency),
    serviceStart,
    serviceEnd,
  })
  return [{ ...piece, problems: [...piece.problems, ...monthProblems(first)] }]
}

/** A month in part, or with two fees, is billed by the business's rule, and said so that nobody misses it. */
function monthProblems({ month, billable, standing }: OpenMonth): DraftProblem[] {
  const message = standing.isFresh ? partMonthWords(month, billable.placeName) : null
  return message === null ? [] : [{ code: 'part-month', blocking: false, message }]
}

/** Why a month does not simply cost its fee, and how it is billed; null where it does. */
export function partMonthWords(month: MonthCharge, placeName: string): string | null {
  const words = monthInWords(month.period)
  const byRule = `The month is billed ${month.facts === 'full' ? 'whole' : 'by days'}, as set under Prices.`
  if (month.coveredDays === 0) return null
  if (month.coveredDays < month.days)
    return `The agreement at ${placeName} covers ${month.coveredDays} of the ${month.days} days of ${words}. ${byRule}`
  if (month.feesMinor.length > 1) return `The fee at ${placeName} changes within ${words}. ${byRule}`
  return null
}

/** Open months as lines: those that follow one another at one fee share a line. The order of the input does not matter. */
export function monthPieces(items: readonly MonthToBill[]): Piece[] {
  const months = items.flatMap(openMonths)
  const byPlaceAndMonth = ({ month, billable }: OpenMonth) => `${month.subjectId} ${groupKey(billable)} ${month.period}`
  months.sort((a, b) => (byPlaceAndMonth(a) < byPlaceAndMonth(b) ? -1 : 1))
  return runsOf(months).flatMap(monthPiece)
}
