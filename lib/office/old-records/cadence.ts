/** "2", "every 2 weeks", "fortnightly": weeks from one routine visit to the next. Pure. */
import { plainWords } from '../frame/plain-words'

const NAMED: Readonly<Record<string, number>> = {
  weekly: 1,
  'every week': 1,
  'once a week': 1,
  fortnightly: 2,
  biweekly: 2,
  'bi weekly': 2,
  'every other week': 2,
  'every second week': 2,
  'every fortnight': 2,
  monthly: 4,
  'every month': 4,
  'once a month': 4,
  quarterly: 13,
}
const WEEKS = /^(?:every )?(\d{1,2})(?: ?(?:w|wk|wks|week|weeks|weekly))?$/
const DAYS = /^(?:every )?(\d{1,3}) ?(?:d|day|days)$/

export type Cadence = { ok: true; everyWeeks: number | null } | { ok: false; reason: string }

/** A bare number is weeks. Blank: no cadence agreed (null). Domain: 1 to 52 whole weeks. */
export function parseCadence(text: string): Cadence {
  const words = plainWords(text)
  if (words === '') return { ok: true, everyWeeks: null }
  const refused = { ok: false as const, reason: `“${text.trim()}” is not a number of weeks between visits (1 to 52)` }
  const named = Object.hasOwn(NAMED, words) ? NAMED[words] : undefined
  const weeks = named ?? Number(WEEKS.exec(words)?.[1] ?? Number(DAYS.exec(words)?.[1] ?? Number.NaN) / 7)
  if (/[.,]/.test(text) || !Number.isInteger(weeks) || weeks < 1 || weeks > 52) return refused
  return { ok: true, everyWeeks: weeks }
}
