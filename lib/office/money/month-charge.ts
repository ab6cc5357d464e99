/**
 * A tank's month under agreement as a charge: what it costs and who pays it. Pure; dates ISO, both ends included, fees in minor units.
 *
 * A day belongs to the agreement that started last. A month that one fee covers whole costs that fee. One that is covered in part, or
 * whose fee changes within it, costs by the business's choice: `full`, the fee that held on most of its covered days (the later one
 * of two that held equally long), or `pro_rata`, each day its fee divided by the days of the month, rounded once at the end. Who pays
 * is asked day by day; shares go by days (`full`) or by what their days cost (`pro_rata`), with the largest remainders.
 */
import type { Charge, ChargeShare } from './charge'
import { daysOfMonth } from './months'
import { splitMinor } from './split-minor'

export const MONTH_RULES = ['full', 'pro_rata'] as const
export type MonthRule = (typeof MONTH_RULES)[number]

export type AgreedFee = {
  agreementId: string
  clientId: string
  startsOn: string
  endsOn: string | null
  monthlyFeeMinor: number
}

/** Days that follow one another under one agreement with one payer. */
type Span = { agreementId: string; feeMinor: number; payerId: string; from: string; to: string; days: number }

export type MonthCharge = Charge & {
  /** The agreement of the last covered day; null where no day is covered. */
  agreementId: string | null
  coveredDays: number
  days: number
  /** Fees that held within it, in the order of their days. */
  feesMinor: number[]
  /** Days that follow one another at one fee with one payer, in their order. */
  feeDays: { payerId: string; feeMinor: number; days: number }[]
}

/** The agreement a day belongs to; null where there is none. */
export function agreementOn<Agreement extends Pick<AgreedFee, 'agreementId' | 'startsOn' | 'endsOn'>>(
  agreements: readonly Agreement[],
  day: string,
): Agreement | null {
  let found: Agreement | null = null
  for (const agreement of agreements) {
    if (agreement.startsOn > day || (agreement.endsOn !== null && agreement.endsOn < day)) continue
    const later =
      found === null ||
      agreement.startsOn > found.startsOn ||
      (agreement.startsOn === found.startsOn && agreement.agreementId > found.agreementId)
    if (later) found = agreement
  }
  return found
}

function spansOf(
  days: readonly string[],
  agreements: readonly AgreedFee[],
  payerOn: (day: string, clientId: string) => string,
): Span[] {
  const spans: Span[] = []
  for (const day of days) {
    const agreement = agreementOn(agreements, day)
    if (!agreement || agreement.monthlyFeeMinor === 0) continue
    const payerId = payerOn(day, agreement.clientId)
    const open = spans.at(-1)
    if (open && open.agreementId === agreement.agreementId && open.payerId === payerId) {
      open.to = day
      open.days += 1
    } else {
      const { agreementId, monthlyFeeMinor: feeMinor } = agreement
      spans.push({ agreementId, feeMinor, payerId, from: day, to: day, days: 1 })
    }
  }
  return spans
}

function feeOfMostDays(spans: readonly Span[]): number {
  const daysByFee = new Map<number, number>()
  for (const { feeMinor, days } of spans) daysByFee.set(feeMinor, (daysByFee.get(feeMinor) ?? 0) + days)
  const most = Math.max(0, ...daysByFee.values())
  return spans.findLast(({ feeMinor }) => daysByFee.get(feeMinor) === most)?.feeMinor ?? 0
}

/** Half up; the sum is never below 0. */
const dividedHalfUp = (sum: number, by: number) => Math.floor((2 * sum + by) / (2 * by))

/**
 * @example a month of 30 days at 18000, then 21000 from the 16th on: `full` 21000 (as many days, and later), `pro_rata` 19500
 */
export function monthCharge(given: {
  tankId: string
  month: string
  agreements: readonly AgreedFee[]
  payerOn: (day: string, clientId: string) => string
  rule: MonthRule
}): MonthCharge {
  const days = daysOfMonth(given.month)
  const spans = spansOf(days, given.agreements, given.payerOn)
  const fees = spans.map(({ feeMinor }) => feeMinor)
  const coveredDays = spans.reduce((sum, span) => sum + span.days, 0)
  const isWhole = coveredDays === days.length && new Set(fees).size === 1
  const byDays = given.rule === 'full' || isWhole
  const weights = spans.map((span) => (byDays ? span.days : span.days * span.feeMinor))
  const dueMinor = byDays
    ? feeOfMostDays(spans)
    : dividedHalfUp(
        weights.reduce((sum, weight) => sum + weight, 0),
        days.length,
      )
  return {
    kind: 'agreement_month',
    subjectId: given.tankId,
    period: given.month,
    facts: given.rule,
    shares: sharesOf(spans, weights, dueMinor),
    agreementId: spans.at(-1)?.agreementId ?? null,
    coveredDays,
    days: days.length,
    feesMinor: fees.filter((fee, place) => fee !== fees[place - 1]),
    feeDays: feeDaysOf(spans),
  }
}

/** Spans of one fee and payer as one, whatever the agreement. */
function feeDaysOf(spans: readonly Span[]): MonthCharge['feeDays'] {
  const feeDays: MonthCharge['feeDays'] = []
  for (const { payerId, feeMinor, days } of spans) {
    const last = feeDays.at(-1)
    if (last && last.payerId === payerId && last.feeMinor === feeMinor) last.days += days
    else feeDays.push({ payerId, feeMinor, days })
  }
  return feeDays
}

/** One share for each payer, however often they came and went. */
function sharesOf(spans: readonly Span[], weights: readonly number[], dueMinor: number): ChargeShare[] {
  const payers: (ChargeShare & { weight: number })[] = []
  spans.forEach(({ payerId, from, to }, place) => {
    const weight = weights[place] ?? 0
    const known = payers.find((payer) => payer.payerId === payerId)
    if (known) {
      known.weight += weight
      known.to = to
    } else payers.push({ payerId, dueMinor: 0, from, to, weight })
  })
  const parts = splitMinor(
    dueMinor,
    payers.map(({ weight }) => weight),
  )
  return payers.map(({ weight: _, ...payer }, place) => ({ ...payer, dueMinor: parts[place] ?? 0 }))
}
