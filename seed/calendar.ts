import { instantOf, weekdayOf } from '@/lib/office/booking/local-time'
import { addDays, dayIn } from '@/lib/office/clients/days'

/** The demo's time: everything is told from `now`, so that a business loaded on any day is in the middle of its week. */
export type Calendar = {
  now: Date
  timeZone: string
  today: string
  /** The Monday of this week. */
  monday: string
  /** The five ISO weekdays on which they drive; today is always one of them. */
  workdays: readonly number[]
}

export function calendarOf(now: Date, timeZone: string): Calendar {
  const today = dayIn(timeZone, now)
  const weekday = weekdayOf(today)
  const last = Math.max(5, weekday)
  return {
    now,
    timeZone,
    today,
    monday: addDays(today, 1 - weekday),
    workdays: [4, 3, 2, 1, 0].map((before) => last - before),
  }
}

/** The day of the `place`-th workday in a week; week 0 is this one. */
export function workday({ monday, workdays }: Calendar, week: number, place: number): string {
  return addDays(monday, week * 7 + (workdays[place] ?? 1) - 1)
}

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
