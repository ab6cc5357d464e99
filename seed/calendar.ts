import { instantOf, weekdayOf } from '@/lib/office/booking/local-time'
import { addDays, dayIn } from '@/lib/office/frame/days'

/**
 * The demo's time. Its story is told in weeks and days from the Monday of the week in which `now` lies, so that the same things happened
 * whenever it is loaded; what `now` decides is the dates laid over them, and how far this week has come.
 */
export type Calendar = {
  now: Date
  timeZone: string
  /** The local date of `now`; on a weekend nobody drives. */
  today: string
  /** The Monday of this week. */
  monday: string
}

export function calendarOf(now: Date, timeZone: string): Calendar {
  const today = dayIn(timeZone, now)
  return { now, timeZone, today, monday: addDays(today, 1 - weekdayOf(today)) }
}

/** The day of a workday in a week; week 0 is this one, place 0 its Monday and 4 its Friday. */
export function workday({ monday }: Calendar, week: number, place: number): string {
  return addDays(monday, week * 7 + place)
}

/** Whole days since this week's Monday: the day as the story counts it, whatever its date is. */
export const storyDay = ({ monday }: Calendar, day: string) => dayNumber(day) - dayNumber(monday)

/** Whole days since 1970-01-01 of a calendar day. */
export const dayNumber = (day: string) => Math.round(Date.parse(`${day}T00:00:00Z`) / 86_400_000)

export const clockOf = (minute: number) =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`

const noons = new Map<string, number>()

/** The instant of a minute of a working day there. The clocks change at night only, so every day is counted from its noon. */
export function instantAt({ timeZone }: Calendar, day: string, minute: number): Date {
  const key = `${timeZone} ${day}`
  const noonMs = noons.get(key) ?? noonOf(day, timeZone)
  noons.set(key, noonMs)
  return new Date(noonMs + (minute - 720) * 60_000)
}

function noonOf(day: string, timeZone: string): number {
  const noon = instantOf({ date: day, time: '12:00', timeZone })
  if (!noon.ok) throw new RangeError(noon.words)
  return noon.at.getTime()
}
