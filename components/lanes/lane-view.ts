/** What was seen or done on a lane. Each kind has its own shape, so nothing rests on colour alone. */
export type MarkKind = 'looked' | 'found' | 'renewed' | 'reported'

export type LaneMark = {
  /** Local day, `2026-11-26`. */
  date: string
  kind: MarkKind
  /** What a person reads, e.g. "impeller film, pump slow". */
  words: string
  /** The visit behind it. */
  href?: string
}

export type LaneBandPoint = {
  date: string
  /** Density relative to the lane's highest point, 0 to 1. */
  probability: number
}

/** One lane of the chart: a failure mode of a slot, a tank, a device. */
export type LaneView = {
  id: string
  label: string
  /** A quieter second line. */
  sub?: string
  href?: string
  marks: readonly LaneMark[]
  /** When it will next need work; in order of date. */
  band?: readonly LaneBandPoint[]
  /** The day it is planned or due, and how that is said, e.g. "Thu 26 Nov, with the pump out". */
  due?: { date: string; words: string }
  /** Someone must act on this lane. */
  tone?: 'call'
  /** The local day since which the present life runs. */
  runningSince?: string
}

/** The marks of a kind, in the order in which they are drawn and explained. */
export const MARK_KINDS: readonly MarkKind[] = ['looked', 'renewed', 'reported', 'found']

export const KIND_WORDS: Readonly<Record<MarkKind, string>> = {
  looked: 'looked, fine',
  found: 'found',
  renewed: 'renewed',
  reported: 'reported by the client',
}
