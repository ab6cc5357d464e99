import { addDays, dayIn } from '../frame/days'
import { weekdayOf } from './local-time'

/** What an agreement asks for and what there is of it, in days `YYYY-MM-DD`. */
export type Cadence = {
  everyDays: number
  /** The day of the first visit, and of the beat from then on. */
  anchorOn: string
  startsOn: string
  endsOn: string | null
  /** Routine visits that took place or are booked; in any order. */
  visitDays: readonly string[]
}

/** A visit the agreement asks for that nobody has booked. `dueOn` lies before `date` where it is late already. */
export type DueVisit = { date: string; dueOn: string }

/**
 * The visits an agreement asks for between two days (both included) that are neither done nor booked.
 * The beat runs from the last visit; before the first one from the anchor. A booked visit stands for a due one if it is
 * at most half an interval late; what is late already is proposed for the first day, once.
 */
export function dueVisits(cadence: Cadence, from: string, to: string): DueVisit[] {
  const { everyDays, anchorOn, startsOn, endsOn } = cadence
  if (!(Number.isInteger(everyDays) && everyDays > 0))
    throw new RangeError(`everyDays must be at least 1, got ${everyDays}`)
  const last = endsOn !== null && endsOn < to ? endsOn : to
  const visits = [...cadence.visitDays].sort()
  const past = visits.filter((day) => day < from).at(-1)
  // An anchor later than the last visit starts the beat anew: the agreement was changed.
  let due = past === undefined || anchorOn > past ? anchorOn : addDays(past, everyDays)
  const ahead = visits.filter((day) => day >= from)
  const found: DueVisit[] = []
  while (due <= last) {
    const date = due < from ? from : due
    const covering = ahead[0]
    if (covering !== undefined && covering <= addDays(date, Math.floor(everyDays / 2))) {
      ahead.shift()
      due = addDays(covering, everyDays)
      continue
    }
    if (date >= startsOn) found.push({ date, dueOn: due })
    due = addDays(date, everyDays)
  }
  return found
}

/** Whether a visit was missed, as of an instant: it is booked, and its day is over where its site is. */
export function isNotDone(visit: { state: string; date: string; timeZone: string }, now: Date): boolean {
  return visit.state === 'booked' && visit.date < dayIn(visit.timeZone, now)
}

/**
 * The day nearest to `date`, at most three days away and not before `from`, on which a site lets us in; of two as near
 * the earlier. Weekdays are ISO numbers, 1 for Monday; none given means any day. Where no day fits, the date itself.
 */
export function nearestOpenDay(date: string, weekdays: ReadonlySet<number>, from: string): string {
  if (weekdays.size === 0) return date
  const near = [0, -1, 1, -2, 2, -3, 3].map((days) => addDays(date, days))
  return near.find((day) => day >= from && weekdays.has(weekdayOf(day))) ?? date
}
