/** What else to do to a device that is open today anyway: work that would be due soon costs less now than a second opening. */

import { labourMinorPerMinute } from './labour'

/** Due within so many visits it would be opened again before long. Common practice, no source. */
const VISITS_AHEAD = 2
/** Plug, towels, lifting out, refitting and starting again: saved where two tasks share one opening. Common practice, no source. */
const MINUTES_OF_OPENING = 10
/** Earlier than half-way through its interval nothing is offered, however cheap. Common practice, no source. */
const EARLIEST_SHARE = 0.5

export type LaterWork = {
  /** Days from today until it is due; null where no date follows. */
  dueInDays: number | null
  /** Days between renewals; null: only when needed. */
  intervalDays: number | null
  /** Minor units of doing it in its turn. */
  plannedMinor: number
  /** Minor units of a minute of work; that of pounds where it is left out. */
  perMinute?: number
}

/**
 * Whether work that is due later is offered while the device is open, and why: it is due within the next two visits, or the life given away
 * costs less than the opening saved. Days and minor units.
 * @example whileOut({ dueInDays: 20, intervalDays: 180, plannedMinor: 2000 }, 14) // { visits: 2, savedMinor: 578 }
 */
export function whileOut(work: LaterWork, visitEveryDays: number): { visits: number; savedMinor: number } | null {
  if (!(visitEveryDays > 0))
    throw new RangeError(`visits must be a number of days above 0 apart, got ${visitEveryDays}`)
  const { dueInDays, intervalDays, plannedMinor, perMinute = labourMinorPerMinute('GBP') } = work
  if (dueInDays === null || dueInDays <= 0) return null
  const visits = Math.ceil(dueInDays / visitEveryDays)
  const givenAway = intervalDays === null ? 1 : Math.min(1, dueInDays / intervalDays)
  const savedMinor = Math.round(MINUTES_OF_OPENING * perMinute - plannedMinor * givenAway)
  if (intervalDays !== null && dueInDays > intervalDays * EARLIEST_SHARE) return null
  return visits <= VISITS_AHEAD || savedMinor > 0 ? { visits, savedMinor } : null
}
