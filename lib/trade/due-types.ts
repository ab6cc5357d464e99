/** What a due date is made from and what it says. */
import type { LifeMixture } from '@/lib/science'
import type { DueCosts } from './due-costs'
import type { IntervalAdvice } from './intervals'
import type { LaneLives } from './lives/types'

export type DueRule =
  | 'need-open' // found and not renewed
  | 'age-limit' // safety-critical: replaced at an age whatever its condition
  | 'wears' // a measured path crosses its threshold before the planned date
  | 'cheapest' // the interval in force counts from its last renewal
  | 'run-to-failure' // only when it is needed
  | 'age-unknown' // seen ok, but never renewed in our time
  | 'never-seen' // look first
  | 'not-watched' // drained, paused or taken out

export type Due = {
  /** Day on which the task is due; null where no date follows (look, or wait for the need). */
  dueDay: number | null
  rule: DueRule
  /** Days between renewals that hold now; Infinity = wait for the need. */
  intervalDays: number
  /** Look by this day: the chance of a need nobody has seen reaches one in ten. Null where nothing runs. */
  lookByDay: number | null
  /** Chance that the need has come by that day, given that there was none when last seen, or until the silence of today. Rising; for drawing. */
  band: { day: number; probability: number }[]
  /** Median life, days. */
  medianDays: number
  /** Minor units a year, at the interval in force and waiting. */
  costPerYear: number
  costPerYearWaiting: number
  /** For the people who do the work. */
  reason: string
  /** For the client: no odds. */
  clientWords: string
}

/** The life of one tank's mode in days: one Weibull, or the weighted draws of its own posterior (scale in days), which has seen this lane's running life. */
export type ModelInDays = { shape: number; scaleDays: number } | LifeMixture

/** Where the interval in force comes from. */
export type IntervalSource = 'accepted' | 'start'

export type DueInput = {
  model: ModelInDays
  lane: Pick<LaneLives, 'state' | 'originDay' | 'fineUntilDay' | 'needOpenSince' | 'firstSeenDay'> &
    Partial<Pick<LaneLives, 'watchedFromAge'>>
  mode: { announcesItself: boolean; ageLimitWeeks?: number }
  /** What the work is called, for the sentences; for example the task's name. */
  taskName: string
  visitEveryDays: number
  costs: DueCosts
  /** The interval that holds and the cheapest one; worked out here as a start where it is left out. */
  advice?: IntervalAdvice
  intervalSource?: IntervalSource
  /** The day on which a measured path crosses its threshold, with words; brings the date forward. */
  wear?: { day: number; words: string }
  /** A date on which the device is said to have been installed, confirmed or not: good enough for an age limit. */
  saidInstalledDay?: number
  /** A device that nobody has looked at for this mode was in service on this day: it is at least that old. */
  inServiceSinceDay?: number
  /** Minor units → text with or without currency; whole units by default. */
  formatMoney?: (minorUnits: number) => string
}
