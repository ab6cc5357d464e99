/** Dates as people write them, read to `YYYY-MM-DD`. Days are local days: no time zone, no clock. Pure. */

export const DATE_ORDERS = ['day-first', 'month-first'] as const
export type DateOrder = (typeof DATE_ORDERS)[number]

/** English, then the spellings of some neighbours where they differ; matched by their beginning. */
const MONTH_STARTS: readonly (readonly string[])[] = [
  ['jan', 'ene', 'gen'],
  ['feb', 'fev', 'fév'],
  ['mar', 'mär', 'maa', 'mrt'],
  ['apr', 'avr', 'abr'],
  ['may', 'mai', 'mei', 'maj', 'mag'],
  ['jun', 'juin', 'giu'],
  ['jul', 'juil', 'lug'],
  ['aug', 'août', 'aout', 'ago'],
  ['sep', 'set'],
  ['oct', 'okt', 'out', 'ott'],
  ['nov'],
  ['dec', 'dez', 'dic', 'déc'],
]

export type DateReading =
  | { ok: true; date: string; style: 'iso' | 'numeric' | 'words' | 'serial' }
  | { ok: false; reason: string }

const daysInMonth = (year: number, month: number) => {
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0
  return [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1] ?? 0
}

const pad = (value: number, width: number) => String(value).padStart(width, '0')

/** Two figures mean this century up to 79, the last one from 80. */
const fullYear = (figures: string) => {
  const year = Number(figures)
  return figures.length > 2 ? year : year < 80 ? 2000 + year : 1900 + year
}

const monthOf = (word: string): number | null => {
  const lower = word.toLowerCase()
  const index = MONTH_STARTS.findIndex((starts) => starts.some((start) => lower.startsWith(start)))
  return index < 0 ? null : index + 1
}

/** A time of day behind the date is left out: records count whole days. */
const TIME = /(?:[T ,]\s*\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d+)?)?\s*(?:am|pm)?(?:Z|[+-]\d{2}:?\d{2})?)$/i
const NUMERIC = /^(\d{1,2})\s*[/.-]\s*(\d{1,2})\s*[/.-]\s*(\d{4}|\d{2})$/
const ISO = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$/
const DAY_WORD = /^(?:\p{L}{2,}\.?,?\s+)?(\d{1,2})(?:st|nd|rd|th|\.)?[\s-]*(\p{L}{3,})\.?,?[\s-]*(\d{4}|\d{2})$/u
const WORD_DAY = /^(?:\p{L}{2,}\.?,\s+)?(\p{L}{3,})\.?\s*(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4}|\d{2})$/u
const SERIAL = /^\d{5}$/

function checked(
  year: number,
  month: number,
  day: number,
  text: string,
  style: 'iso' | 'numeric' | 'words',
): DateReading {
  const named = `the date “${text}” does not exist`
  if (month < 1 || month > 12) return { ok: false, reason: `${named}: there is no month ${month}` }
  if (day < 1 || day > daysInMonth(year, month)) return { ok: false, reason: `${named}: that month has no day ${day}` }
  if (year < 1950 || year > 2100) return { ok: false, reason: `the date “${text}” lies outside 1950 to 2100` }
  return { ok: true, date: `${pad(year, 4)}-${pad(month, 2)}-${pad(day, 2)}`, style }
}

/**
 * A spreadsheet's day number (1900 system): 25569 is 1970-01-01. Only dates after 1954 are taken, by their five figures.
 */
function fromSerial(figures: string): DateReading {
  const date = new Date((Number(figures) - 25569) * 86_400_000)
  return { ok: true, date: date.toISOString().slice(0, 10), style: 'serial' }
}

/** Reads one date; `order` decides `3/4/2024` and nothing else. */
export function parseDate(written: string, order: DateOrder): DateReading {
  const text = written.trim()
  const bare = text.replace(TIME, '').trim()
  const iso = ISO.exec(bare)
  if (iso) return checked(Number(iso[1]), Number(iso[2]), Number(iso[3]), text, 'iso')
  const numeric = NUMERIC.exec(bare)
  if (numeric) {
    const [first, second, year] = [Number(numeric[1]), Number(numeric[2]), fullYear(numeric[3] ?? '')]
    return order === 'day-first'
      ? checked(year, second, first, text, 'numeric')
      : checked(year, first, second, text, 'numeric')
  }
  const dayWord = DAY_WORD.exec(bare)
  const wordDay = dayWord ? null : WORD_DAY.exec(bare)
  const [day, word, year] = dayWord ? [dayWord[1], dayWord[2], dayWord[3]] : [wordDay?.[2], wordDay?.[1], wordDay?.[3]]
  const month = word === undefined ? null : monthOf(word)
  if (month !== null) return checked(fullYear(year ?? ''), month, Number(day), text, 'words')
  if (SERIAL.test(bare) && Number(bare) >= 20_000 && Number(bare) <= 73_000) return fromSerial(bare)
  return { ok: false, reason: text === '' ? 'the date is missing' : `“${text}” is not a date` }
}

/** How many dates can only be read day first, only month first, or both ways with different results. */
export type OrderCount = { dayFirst: number; monthFirst: number; open: number }
export const NO_DATES: OrderCount = { dayFirst: 0, monthFirst: 0, open: 0 }

/** A first number above 12 can only be a day, a second one above 12 too. */
export function countDateOrders(cells: Iterable<string>): OrderCount {
  const count = { ...NO_DATES }
  for (const cell of cells) {
    const match = NUMERIC.exec(cell.trim().replace(TIME, '').trim())
    if (!match) continue
    const [first, second] = [Number(match[1]), Number(match[2])]
    if (first > 12 && first <= 31 && second >= 1 && second <= 12) count.dayFirst++
    else if (second > 12 && second <= 31 && first >= 1 && first <= 12) count.monthFirst++
    else if (first >= 1 && first <= 12 && second >= 1 && second <= 12 && first !== second) count.open++
  }
  return count
}

/** One slip among so many does not make a column unsure. */
const MANY_AGAINST_ONE = 20

/** The order that a count shows. Not sure where nothing shows it, or where both are shown with no clear majority. */
export function orderFrom({ dayFirst, monthFirst, open }: OrderCount): {
  value: DateOrder
  sure: boolean
  shown: boolean
} {
  const [more, fewer] = [Math.max(dayFirst, monthFirst), Math.min(dayFirst, monthFirst)]
  const shown = more > 0
  const sure = more >= MANY_AGAINST_ONE * fewer && (shown || open === 0)
  return { value: monthFirst > dayFirst ? 'month-first' : 'day-first', sure, shown }
}
