/** Small readings of lane events that several rules share. */
import { DEPTHS, type Depth } from '@/lib/trade/catalogue/types'
import type { LaneEvent, LookEvent, ModeRule, RenewalEvent, RenewalReason } from './types'

/** A look of `depth` is good enough where `needed` is asked for; each depth includes the ones before it. */
function isDeepEnough(depth: Depth, needed: Depth): boolean {
  return DEPTHS.indexOf(depth) >= DEPTHS.indexOf(needed)
}

/** What a look says under rule 3: an ok shallower than the mode needs is no look at all; a shallow found counts. */
export function readLook(look: LookEvent, mode: ModeRule): 'ok' | 'found' | 'nothing' {
  if (look.asFound === 'needs_it' || look.asFound === 'failed') return 'found'
  if (look.asFound === 'not_looked') return 'nothing'
  return look.source === 'imported' || isDeepEnough(look.depth, mode.lookNeeded) ? 'ok' : 'nothing'
}

/** Renewed because it was needed, not because it was its turn. */
export function isForNeed(reason: RenewalReason): boolean {
  return reason === 'condition' || reason === 'found'
}

export type IndexedEvent = { event: LaneEvent; index: number }

/**
 * Events up to the cut-off in the order the rules read them: by day, inside a day as given; a report of a day before a renewal is read in the life it
 * speaks of. Renewals that follow each other on one day are one (rule 5): full if any of them was, for a need if any of them was.
 */
export function orderedEvents(events: readonly LaneEvent[], cutoffDay: number): IndexedEvent[] {
  const sorted = withReportsInTheirLife(
    events
      .map((event, index) => ({ event, index }))
      .filter(({ event }) => event.day <= cutoffDay)
      .sort((a, b) => a.event.day - b.event.day || a.index - b.index),
  )
  const merged: IndexedEvent[] = []
  for (const next of sorted) {
    const previous = merged.at(-1)
    if (next.event.kind === 'renewal' && previous?.event.kind === 'renewal' && previous.event.day === next.event.day)
      merged[merged.length - 1] = { event: strongerRenewal(previous.event, next.event), index: previous.index }
    else merged.push(next)
  }
  return merged
}

/**
 * Who hears on day 60 that it had failed on day 50, and renewed it on day 55 without knowing, has heard of the old life: such a report is read just before
 * the first thing after its day that ended that life or found the need.
 */
function withReportsInTheirLife(sorted: readonly IndexedEvent[]): IndexedEvent[] {
  const read: IndexedEvent[] = []
  for (const next of sorted) {
    const { event } = next
    const saidDay = event.kind === 'report' ? event.reportedDay : undefined
    if (
      event.kind !== 'report' ||
      saidDay === undefined ||
      !read.some(({ event: e }) => isAfter(e, event, saidDay) && isNewLife(e))
    )
      read.push(next)
    else {
      const place = read.findIndex(({ event: e }) => isAfter(e, event, saidDay) && (isNewLife(e) || isFound(e)))
      const day = read[place]?.event.day ?? event.day
      read.splice(place, 0, { ...next, event: { ...event, day } })
    }
  }
  return read
}

/** What was done on the very day that a later report names came after the failure; on the day of the report itself the order of the records counts. */
const isAfter = (event: LaneEvent, report: LaneEvent, saidDay: number) =>
  event.day > saidDay || (event.day === saidDay && report.day > saidDay)

const isFound = (event: LaneEvent) =>
  event.kind === 'look' && (event.asFound === 'needs_it' || event.asFound === 'failed')

function isNewLife(event: LaneEvent): boolean {
  if (event.kind === 'renewal') return !event.partial
  return (
    event.kind === 'removed' ||
    event.kind === 'paused' ||
    (event.kind === 'installed' && (event.byUs || event.confirmed))
  )
}

function strongerRenewal(first: RenewalEvent, second: RenewalEvent): RenewalEvent {
  if (first.partial) return second
  if (second.partial) return first
  return isForNeed(second.reason) && !isForNeed(first.reason) ? second : first
}
