import { Temporal } from '@js-temporal/polyfill'
import { addDays } from '../frame/days'
import { dateFormat } from '../frame/formats'

/** Wall clocks, weeks and instants of a plan. Pure: now is an argument. */

export type PlannedRange = { start: Date; end: Date }
export type LocalTime = { date: string; time: string; timeZone: string }

/**
 * The instant of a wall clock ("09:20") on a day at a place.
 * Errors, in words: an hour that the clocks skip or that they show twice is no answer to "when".
 */
export function instantOf({ date, time, timeZone }: LocalTime): { ok: true; at: Date } | { ok: false; words: string } {
  const wall = Temporal.PlainDateTime.from(`${date}T${time}`)
  try {
    const zoned = wall.toZonedDateTime(timeZone, { disambiguation: 'reject' })
    return { ok: true, at: new Date(zoned.epochMilliseconds) }
  } catch (error) {
    if (!(error instanceof RangeError)) throw error
    // In a gap the earlier reading lands on another wall clock; in a repeated hour both readings show the same one.
    const shown = wall.toZonedDateTime(timeZone, { disambiguation: 'earlier' }).toPlainDateTime()
    const place = timeZone.replaceAll('_', ' ')
    const twice = shown.equals(wall)
    const why = twice
      ? `${time} happens twice on ${date} (${place}): the clocks go back in that hour.`
      : `${time} does not exist on ${date} (${place}): the clocks go forward over that hour.`
    return { ok: false, words: `${why} Choose another time.` }
  }
}

/** From a wall clock for so many minutes of real time. Errors as `instantOf`. */
export function plannedRange(
  from: LocalTime,
  minutes: number,
): { ok: true; range: PlannedRange } | { ok: false; words: string } {
  const start = instantOf(from)
  if (!start.ok) return start
  return { ok: true, range: { start: start.at, end: new Date(start.at.getTime() + minutes * 60_000) } }
}

/** What a clock in the zone shows at an instant, "09:20". Errors: RangeError for an unknown zone. */
export function clockIn(timeZone: string, at: Date): string {
  return dateFormat('en-GB', { timeZone, hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }).format(at)
}

/** Minutes since midnight on the zone's clock at an instant. */
export function minuteOfDay(timeZone: string, at: Date): number {
  const [hour = 0, minute = 0] = clockIn(timeZone, at).split(':').map(Number)
  return hour * 60 + minute
}

/** The ISO 8601 week in which a day lies, "2026-W48". */
export function weekOfDay(day: string): string {
  const { weekOfYear, yearOfWeek } = Temporal.PlainDate.from(day)
  if (weekOfYear === undefined || yearOfWeek === undefined) throw new RangeError(`${day} has no ISO week`)
  return `${yearOfWeek}-W${String(weekOfYear).padStart(2, '0')}`
}

/** Monday to Sunday of an ISO week, or null where the year has no such week ("2026-W54", "2025-W53"). */
export function daysOfWeek(week: string): string[] | null {
  const [year = '', number = ''] = week.split('-W')
  // 4 January is always in week 1 (ISO 8601).
  const fourth = Temporal.PlainDate.from(`${year}-01-04`)
  const monday = fourth.subtract({ days: fourth.dayOfWeek - 1 }).add({ days: (Number(number) - 1) * 7 })
  const days = Array.from({ length: 7 }, (_, index) => addDays(monday.toString(), index))
  return days[0] !== undefined && weekOfDay(days[0]) === week ? days : null
}

/** ISO weekday of a day: 1 is Monday, 7 Sunday. */
export function weekdayOf(day: string): number {
  return Temporal.PlainDate.from(day).dayOfWeek
}
