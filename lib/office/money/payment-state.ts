/** What has been paid of an invoice. Pure; integer minor units; dates ISO. */
import { addDays } from './dates-in-words'

/** What settled a part of it; a refund is negative. What a corrected payment settled is left out by the caller. */
export type PaymentFact = {
  amountMinor: number
  /** ISO; of what was moved, the day it was moved. */
  receivedOn: string
  /** No money came or went: moved from the client's credit, or back to it. */
  isMoved?: boolean
}

/** `credited`: nothing is owed any more and nothing was paid. */
export type PaymentState = 'unpaid' | 'part_paid' | 'paid' | 'credited' | 'overpaid'

export type PaymentStanding = {
  state: PaymentState
  paidMinor: number
  /** Gross − credited − paid; negative when too much was paid. */
  outstandingMinor: number
  lastPaidOn: string | null
  /** Whole days past the due day; 0 when not due yet or nothing is outstanding. */
  daysLate: number
}

/** The day to pay by. Errors: RangeError when the date is none or the term is no whole number of days from 0. */
export function dueDate(issueDate: string, termDays: number): string {
  if (!Number.isInteger(termDays) || termDays < 0) throw new RangeError(`terms are whole days from 0, got ${termDays}`)
  return addDays(issueDate, termDays)
}

function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / 86_400_000)
}

/**
 * How an invoice stands: what was credited lowers what is owed, what was paid is compared with the rest. An invoice of
 * nothing is paid; one wholly credited is credited. `today` is an argument: no clock here.
 */
export function paymentStanding(
  invoice: { grossMinor: number; creditedMinor: number; dueOn: string | null },
  payments: readonly PaymentFact[],
  today: string,
): PaymentStanding {
  const paidMinor = payments.reduce((sum, payment) => sum + payment.amountMinor, 0)
  const outstandingMinor = invoice.grossMinor - invoice.creditedMinor - paidMinor
  const days = payments.map((payment) => payment.receivedOn).sort()
  const late = invoice.dueOn === null || outstandingMinor <= 0 ? 0 : Math.max(0, daysBetween(invoice.dueOn, today))
  const state = paymentState({ outstandingMinor, paidMinor, creditedMinor: invoice.creditedMinor })
  return { state, paidMinor, outstandingMinor, lastPaidOn: days.at(-1) ?? null, daysLate: late }
}

/** The same in one word, from its sums. */
export function paymentState(sums: {
  outstandingMinor: number
  paidMinor: number
  creditedMinor: number
}): PaymentState {
  if (sums.outstandingMinor < 0) return 'overpaid'
  if (sums.outstandingMinor > 0) return sums.paidMinor > 0 ? 'part_paid' : 'unpaid'
  return sums.creditedMinor > 0 && sums.paidMinor === 0 ? 'credited' : 'paid'
}
