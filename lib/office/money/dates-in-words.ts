/**
 * Dates as an invoice says them: "25 November 2026", "12 and 26 Nov", "1–30 November 2026"; for American readers "November 25, 2026". ISO dates in,
 * text out. The American order: CLDR, en-US, long date (as this machine's own edition has it).
 */

/** Which of day and month comes first. */
export type DayOrder = 'day-first' | 'month-first'

/** The order of a language's readers. */
export function dayOrderOf(locale: string): DayOrder {
  return locale === 'en-US' ? 'month-first' : 'day-first'
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

/** "two visits", "one visit", "13 visits". */
export function countInWords(count: number, one: string, many: string): string {
  return `${SMALL_NUMBERS[count] ?? String(count)} ${count === 1 ? one : many}`
}

/** Midnight UTC of an ISO date. Errors: RangeError when it is no date of the calendar. */
function utcDate(isoDate: string): Date {
  const date = new Date(`${isoDate}T00:00:00Z`)
  if (
    !/^\d{4}-\d{2}-\d{2}$/.test(isoDate) ||
    Number.isNaN(date.getTime()) ||
    date.toISOString().slice(0, 10) !== isoDate
  ) {
    throw new RangeError(`not a date: "${isoDate}"`)
  }
  return date
}

// Made once: a month's work names ten thousand days, and making a formatter takes a hundred times as long as using it.
const MONTH = new Intl.DateTimeFormat('en-GB', { month: 'long', timeZone: 'UTC' })

const day = (isoDate: string) => String(utcDate(isoDate).getUTCDate())
const longMonth = (isoDate: string) => MONTH.format(utcDate(isoDate))
// Three letters for every month; the locale's own short form of September has four.
const shortMonth = (isoDate: string) => longMonth(isoDate).slice(0, 3)
const year = (isoDate: string) => isoDate.slice(0, 4)

/** "25 November 2026". */
export function dateInWords(isoDate: string, order: DayOrder = 'day-first'): string {
  return `${dayAndMonth(isoDate, order)}${order === 'month-first' ? ',' : ''} ${year(isoDate)}`
}

/** "November 2026" for "2026-11". */
export function monthInWords(month: string): string {
  return `${longMonth(`${month}-01`)} ${year(month)}`
}

/** "9 December": for a day close enough that the year is plain. */
export function dayAndMonth(isoDate: string, order: DayOrder = 'day-first'): string {
  return order === 'month-first' ? `${longMonth(isoDate)} ${day(isoDate)}` : `${day(isoDate)} ${longMonth(isoDate)}`
}

/** "18 Nov". */
export function dayAndShortMonth(isoDate: string): string {
  return `${day(isoDate)} ${shortMonth(isoDate)}`
}

function joined(items: readonly string[]): string {
  const last = items.at(-1) ?? ''
  return items.length < 2 ? last : `${items.slice(0, -1).join(', ')} and ${last}`
}

/** "12 and 26 Nov"; "30 Oct, 12 and 26 Nov". Sorted; a day with two visits is named twice. */
export function daysInWords(isoDates: readonly string[]): string {
  const sorted = [...isoDates].sort()
  const items = sorted.map((isoDate, index) => {
    const next = sorted[index + 1]
    const sameMonth = next !== undefined && next.slice(0, 7) === isoDate.slice(0, 7)
    return sameMonth ? day(isoDate) : dayAndShortMonth(isoDate)
  })
  return joined(items)
}

/** "1–30 November 2026", "28 October – 4 November 2026", "12 November 2026" for one day. */
export function periodInWords(start: string, end: string, order: DayOrder = 'day-first'): string {
  if (start === end) return dateInWords(start, order)
  if (start.slice(0, 7) === end.slice(0, 7))
    return order === 'month-first'
      ? `${dayAndMonth(start, order)}–${day(end)}, ${year(end)}`
      : `${day(start)}–${dateInWords(end)}`
  if (year(start) === year(end)) return `${dayAndMonth(start, order)} – ${dateInWords(end, order)}`
  return `${dateInWords(start, order)} – ${dateInWords(end, order)}`
}

/** The date `days` later. */
export function addDays(isoDate: string, days: number): string {
  const date = utcDate(isoDate)
  date.setUTCDate(date.getUTCDate() + days)
  return date.toISOString().slice(0, 10)
}
