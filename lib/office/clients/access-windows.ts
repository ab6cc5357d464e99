import { z } from 'zod'
import { type AccessWindow, accessWindowSchema } from './schema'

const stored = z.array(accessWindowSchema)
const DAY_NAMES = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun']

/** Access windows as stored beside a site; what is not one of ours is none. Pure. */
export function readAccessWindows(json: unknown): AccessWindow[] {
  const read = stored.safeParse(json)
  return read.success ? read.data : []
}

/** "Mon, Tue, Fri 08:00–11:30". Pure. */
export function accessWindowWords({ weekdays, from, to }: AccessWindow): string {
  const days = [...weekdays].sort().map((day) => DAY_NAMES[Number(day) - 1])
  return `${days.length === 7 ? 'Every day' : days.join(', ')} ${from}–${to}`
}

const DAYS = ['Mondays', 'Tuesdays', 'Wednesdays', 'Thursdays', 'Fridays', 'Saturdays', 'Sundays']

/** When somebody would come to a site: the day, and the times where they are settled ("09:20", else blank). */
type Coming = { date: string; start: string; end: string }

/** Why nobody lets us in then, in words; null where somebody does, or no times are agreed. Times of the site's own clock. Pure. */
export function closedWords(windows: readonly AccessWindow[], { date, start, end }: Coming): string | null {
  if (windows.length === 0) return null
  const weekday = String(new Date(`${date}T00:00:00Z`).getUTCDay() || 7)
  const ofDay = windows.filter(({ weekdays }) => weekdays.some((day) => String(day) === weekday))
  const open = `We may come in ${windows.map(accessWindowWords).join('; ')}.`
  if (ofDay.length === 0) return `Not on ${DAYS[Number(weekday) - 1]}. ${open}`
  if (start === '' || ofDay.some(({ from, to }) => from <= start && (end === '' || end < start ? start : end) <= to))
    return null
  return `Not ${end === '' ? `at ${start}` : `from ${start} to ${end}`}. ${open}`
}
