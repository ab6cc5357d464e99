/**
 * The shapes of the cause tables: from the sign to the likely causes, the checks that tell them apart, and what cures each. Plain data, so that it goes to the phone as it is.
 * Slugs are immutable: records refer to them. Shares and minutes are starting guesses that the business's own cases move.
 */
import type { TankKind } from '../catalogue/types'
import type { CautionSlug } from '../cautions'
import type { SwitchedSlug } from '../restart-order'

/** How much a check disturbs, least first. */
export const CHECK_KINDS = ['ask', 'look', 'measure', 'touch', 'open'] as const
export type CheckKind = (typeof CHECK_KINDS)[number]

export type FaultFamily = {
  slug: string
  /** The sign, as somebody would say it. */
  sign: string
  /** Class of the device that shows it; null where it is the tank. */
  equipmentClass: string | null
  /** Only where a device of one of these classes is fitted. */
  fittedAny?: readonly string[]
  /** Null: any tank. */
  tankKinds: readonly TankKind[] | null
  /** Done before anything is asked. */
  firstSteps: readonly FaultStep[]
  setUps: readonly FaultSetUp[]
  causes: readonly FaultCause[]
  checks: readonly FaultCheck[]
  /** Before leaving, whatever the cause was. */
  beforeLeaving: readonly FaultStep[]
  /** Days until somebody looks again where the cause was not found. Common practice, no source. */
  lookAgainDays: number
}

export type FaultStep = {
  text: string
  cautions: readonly CautionSlug[]
  /** What stands still once it is done, as in a set-up. */
  switchesOff?: readonly SwitchedSlug[]
}

/** What a step needs first; opened by one tap, and done once for all that need it. */
export type FaultSetUp = {
  slug: string
  name: string
  /** There and back. */
  minutes: number
  /** The set-ups before it, outermost first. */
  needs: readonly string[]
  /** What stands still from then on and must run again before leaving. */
  switchesOff: readonly SwitchedSlug[]
  cautions: readonly CautionSlug[]
  source: string
}

export type FaultCause = {
  slug: string
  name: string
  /** Of 100 such signs, from the start. */
  sharePercent: number
  remedy: string
  /** Minutes to cure it once its set-ups are in place. */
  minutes: number
  needs: readonly string[]
  /** Checks that show it: nothing is cured unseen. */
  shownBy: readonly string[]
  /** Failure mode of the catalogue, where there is one. */
  mode?: string
  /** Care task of the catalogue that cures it. */
  task?: string
  /** Another family that goes on from here. */
  leadsTo?: string
  /** Only in tanks of these kinds. */
  tankKinds?: readonly TankKind[]
  /** Only where a device of this class is fitted. */
  fitted?: string
  /** The honest end: not found today, or none of these. */
  last: boolean
  cautions: readonly CautionSlug[]
  source: string
}

export type FaultCheck = {
  slug: string
  question: string
  kind: CheckKind
  minutes: number
  answers: readonly FaultAnswer[]
  after: readonly string[]
  needs: readonly string[]
  running: boolean
  hit?: number
  hits?: Readonly<Record<string, number>>
  tankKinds?: readonly TankKind[]
  fitted?: string
  cautions: readonly CautionSlug[]
  source: string
}

export type FaultAnswer = {
  slug: string
  words: string
  points: readonly string[]
  rest: boolean
  /** What cannot wait once this is the answer. */
  now?: string
  /** What stands still once `now` is done, as in a set-up. */
  switchesOff?: readonly SwitchedSlug[]
  /** Nothing further may be asked or tried: `now` is done and somebody else takes over. What it points to may be written down. */
  ends?: true
}
