/** Whole calendar months, written "2026-11", and which of them an agreement is billed for. */

/** Number of a month since year 0, so that months can be counted. Errors: RangeError when it is no month. */
function monthNumber(month: string): number {
  const match = /^(\d{4})-(0[1-9]|1[0-2])$/.exec(month)
  if (!match) throw new RangeError(`not a month: "${month}"`)
  return Number(match[1]) * 12 + Number(match[2]) - 1
}

function monthText(number: number): string {
  return `${String(Math.floor(number / 12)).padStart(4, '0')}-${String((number % 12) + 1).padStart(2, '0')}`
}

export const monthOf = (isoDate: string): string => isoDate.slice(0, 7)
export const firstDay = (month: string): string => `${month}-01`

/** Last day of a month, leap years by the Gregorian rule. @example lastDay('2028-02') // '2028-02-29' */
export function lastDay(month: string): string {
  const number = monthNumber(month)
  const days = new Date(Date.UTC(Math.floor(number / 12), (number % 12) + 1, 0)).getUTCDate()
  return `${month}-${String(days).padStart(2, '0')}`
}

/** The month before. @example monthBefore('2026-01') // '2025-12' */
export const monthBefore = (month: string): string => monthText(monthNumber(month) - 1)

export type BillableMonths = {
  /** Whole months to bill, oldest first. */
  months: string[]
  /** Months the agreement was in force for only in part, which are not billed without a person's decision. */
  partMonths: string[]
}

/**
 * The months of an agreement to bill now: after the last one billed, up to and with `through`, and in force from the first
 * day of the month to the last. A month in part is named, not guessed at: whether it is free, halved or full is what the
 * parties agreed. Dates ISO, `endsOn` and `billedThrough` null when open or never billed.
 */
export function billableMonths(agreement: {
  startsOn: string
  endsOn: string | null
  billedThrough: string | null
  through: string
}): BillableMonths {
  const { startsOn, endsOn, billedThrough, through } = agreement
  const start = monthNumber(monthOf(startsOn))
  const first = billedThrough === null ? start : Math.max(start, monthNumber(billedThrough) + 1)
  const last = endsOn === null ? monthNumber(through) : Math.min(monthNumber(through), monthNumber(monthOf(endsOn)))
  const months: string[] = []
  const partMonths: string[] = []
  for (let number = first; number <= last; number += 1) {
    const month = monthText(number)
    const whole = startsOn <= firstDay(month) && (endsOn === null || endsOn >= lastDay(month))
    ;(whole ? months : partMonths).push(month)
  }
  return { months, partMonths }
}
