/** What goes into a lane (one device or slot × one failure mode) and the lives that come out of it. */
import type { Depth } from '@/lib/trade/catalogue/types'

export type AsFound = 'ok' | 'needs_it' | 'failed' | 'not_looked'
export type CureConfidence = 'sure' | 'likely' | 'not_sure'
export type RenewalReason = 'schedule' | 'while_out' | 'condition' | 'found'

/** A whole site-local day as a running number (for example days since 1970-01-01); only differences matter. */
export type DayNumber = number

export type LookEvent = {
  kind: 'look'
  day: DayNumber
  asFound: AsFound
  depth: Depth
  /** An imported look counts at full depth: old records do not say how closely somebody looked. */
  source?: 'imported' | 'visit'
  cureConfidence?: CureConfidence
}
export type ReportEvent = { kind: 'report'; day: DayNumber; reportedDay?: DayNumber; sure: boolean }
export type RenewalEvent = {
  kind: 'renewal'
  day: DayNumber
  reason: RenewalReason
  /** Only part of the task was done: it renews nothing. */
  partial?: boolean
  cureConfidence?: CureConfidence
}
export type InstalledEvent = {
  kind: 'installed'
  day: DayNumber
  /** We installed it, new, in an installation visit. */
  byUs: boolean
  /** A person confirmed that the device was new on that day; an imported date is not confirmed. */
  confirmed: boolean
}
export type RemovedEvent = { kind: 'removed'; day: DayNumber; becauseOfMode?: boolean }
export type PausedEvent = { kind: 'paused'; day: DayNumber }
export type LaneEvent = LookEvent | ReportEvent | RenewalEvent | InstalledEvent | RemovedEvent | PausedEvent

/** The part of a failure mode that the rules need; a `FailureMode` of the catalogue fits as it is. */
export type ModeRule = { lookNeeded: Depth; announcesItself: boolean; renewedOnlyByReplacing?: boolean }

export type Lane = {
  equipmentClass?: string
  mode: ModeRule
  /** Sorted by day; inside a day in the order in which things happened. */
  events: readonly LaneEvent[]
}

export type Life = {
  /** Days since the start of the life. Right-censored: upper = Infinity. Interval: (lower, upper]. Exact: lower = upper. */
  observation: { lower: number; upper: number; truncatedAt?: number }
  startDay: DayNumber
  endDay: DayNumber
  /** Ended by a need (true) or only lost from sight (false). */
  event: boolean
  /** Age at the start unknown: the same limits, counted from first sight. The plain fit leaves such a life out. */
  unknownAge?: { lower: number; upper: number }
  /** Ages in days at which somebody looked deep enough, or the need was learned of; rising. */
  lookAges: number[]
  /** Places in `lane.events` of what the life was read from, so that a number can be opened to its visits. */
  from: number[]
}

export type LaneState =
  | 'never_seen' // nothing usable yet
  | 'age_unknown' // seen ok, never renewed in our time
  | 'running' // renewed, no need since
  | 'found' // a need is open
  | 'paused' // drained, paused or removed: waits for a renewal

export type LaneLives = {
  lives: Life[]
  state: LaneState
  /** Day of the renewal since which it has been running without a need; null otherwise. */
  runningSince: DayNumber | null
  /** Day from which age is counted now; null when unknown or when a need is open. */
  originDay: DayNumber | null
  /** Last valid ok since the origin. */
  lastOkDay: DayNumber | null
  /**
   * Day up to which the running life is known to have had no need: the last valid ok or, for a mode that announces itself, the day up to which
   * the lane was read (rule 4); null when nothing runs or nothing is known.
   */
  fineUntilDay: DayNumber | null
  /** Age in days at which the running life came into sight, where somebody confirmed its beginning; null for one that is watched from its beginning. */
  watchedFromAge: number | null
  /** Day on which the need that is open now came to light; null when none is open. */
  needOpenSince: DayNumber | null
  /** Day of the first valid ok of a life of unknown age that still runs; null otherwise. */
  firstSeenDay: DayNumber | null
  /** The cure that started this life has not been confirmed by an ok yet. */
  provisional: boolean
}
