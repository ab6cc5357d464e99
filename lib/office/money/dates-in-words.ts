/** Dates as an invoice says them: "25 November 2026", "12 and 26 Nov", "1–30 November 2026". ISO dates in, text out. */

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

function part(isoDate: string, options: Intl.DateTimeFormatOptions): string {
  return new Intl.DateTimeFormat('en-GB', { ...options, timeZone: 'UTC' }).format(utcDate(isoDate))
}

const day = (isoDate: string) => part(isoDate, { day: 'numeric' })
const longMonth = (isoDate: string) => part(isoDate, { month: 'long' })
// Three letters for every month; the locale's own short form of September has four.
const shortMonth = (isoDate: string) => longMonth(isoDate).slice(0, 3)
const year = (isoDate: string) => isoDate.slice(0, 4)

/** "25 November 2026". */
export function dateInWords(isoDate: string): string {
  return `${day(isoDate)} ${longMonth(isoDate)} ${year(isoDate)}`
}

/** "9 December": for a day close enough that the year is plain. */
export function dayAndMonth(isoDate: string): string {
  return `${day(isoDate)} ${longMonth(isoDate)}`
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
export function periodInWords(start: string, end: string): string {
  if (start === end) return dateInWords(start)
  if (start.slice(0, 7) === end.slice(0, 7)) return `${day(start)}–${dateInWords(end)}`
  if (year(start) === year(end)) return `${dayAndMonth(start)} – ${dateInWords(end)}`
  return `${dateInWords(start)} – ${dateInWords(end)}`
}

/** The date `days` later. */
export function addDays(isoDate: string, days: number): string {
  const date = utcDate(isoDate)
  date.setUTCDate(date.getUTCDate() + days)
  return date.toISOString().slice(0, 10)
}
