/** A visit as the plan draws it; times are the wall clock of its site. */
export type PlanVisit = {
  id: string
  tankName: string
  siteName: string
  clientName: string
  kind: string
  state: string
  outcome: string | null
  date: string
  windowStart: string
  windowEnd: string
  /** Blank where only the day is settled. */
  start: string
  end: string
  startMinute: number | null
  endMinute: number | null
  plannedMinutes: number | null
  overlapAccepted: boolean
  whatFor: string
  /** A booked visit whose day went by with nothing logged. */
  notDone: boolean
}

/** "45 min", "4 h 30 min". */
export function spanWords(minutes: number): string {
  const hours = Math.floor(minutes / 60)
  const rest = minutes % 60
  if (hours === 0) return `${rest} min`
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`
}

/** "09:20–10:05", "no time yet". */
export function timeWords({ start, end }: { start: string; end: string }): string {
  return start === '' ? 'no time yet' : `${start}–${end}`
}

/** What is to be known of a visit beside when and where; blank where nothing is. */
export function stateWords({ state, outcome, overlapAccepted, notDone }: PlanVisit): string {
  if (notDone) return 'not done: move, log or cancel it'
  if (state === 'under_way') return 'there now'
  if (state === 'cancelled') return 'cancelled'
  if (state === 'done' && outcome === 'no_access') return 'no access'
  if (state === 'done' && outcome === 'cut_short') return 'cut short'
  if (state === 'done') return 'done'
  return overlapAccepted ? 'overlaps, accepted' : ''
}
