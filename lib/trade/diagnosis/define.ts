/** The short hand in which the cause tables are written; it fills in slugs, chains of set-ups and the honest end. */
import { MARINE } from '../catalogue/define'
import type { TankKind } from '../catalogue/types'
import type { CautionSlug } from '../cautions'
import type { SwitchedSlug } from '../restart-order'
import type { CheckKind, FaultAnswer, FaultFamily, FaultStep } from './types'

/** Beside each figure that no publication stands behind: all of them, so far. */
export const NO_SOURCE = 'common practice, no source'
/** The slug of the honest end in every family. */
export const NOT_FOUND = 'not-found'
/** Writing down what was ruled out, and a follow-up with its day. Common practice, no source. */
const FOLLOW_UP_MINUTES = 10

/** Days until the next look where nothing else is said. Common practice, no source. */
const LOOK_AGAIN_DAYS = 7

/** Any of these classes comes with a sump. Common practice, no source. */
export const WITH_SUMP: readonly string[] = ['return-pump', 'protein-skimmer', 'auto-top-up', 'overflow-and-plumbing']

/** Kinds of tank with salt water. */
export const SALTY: readonly TankKind[] = [...MARINE, 'brackish']

type SetUpLine<SetUp extends string> = {
  name: string
  minutes: number
  within?: NoInfer<SetUp>
  off?: readonly SwitchedSlug[]
  cautions?: readonly CautionSlug[]
  source?: string
}
type CauseLine<SetUp extends string> = {
  /** The check that shows it. */
  seenBy?: string
  share: number
  name: string
  remedy: string
  minutes: number
  needs?: NoInfer<SetUp>
  mode?: string
  task?: string
  leadsTo?: string
  tanks?: readonly TankKind[]
  fitted?: string
  cautions?: readonly CautionSlug[]
  source?: string
}
type AnswerLine<Cause extends string> = readonly [
  words: string,
  points: readonly NoInfer<Cause>[] | 'rest',
  now?: string,
  then?: { off?: readonly SwitchedSlug[]; ends?: true },
]
type CheckLine<SetUp extends string, Cause extends string> = {
  ask: string
  kind: CheckKind
  minutes: number
  answers: Record<string, AnswerLine<Cause>>
  after?: readonly string[]
  needs?: NoInfer<SetUp>
  running?: true
  hit?: number
  hits?: Readonly<Record<string, number>>
  tanks?: readonly TankKind[]
  fitted?: string
  cautions?: readonly CautionSlug[]
  source?: string
}
type StepLine =
  | string
  | readonly [text: string, ...cautions: CautionSlug[]]
  | { text: string; off: readonly SwitchedSlug[]; cautions?: readonly CautionSlug[] }

/**
 * Builds one family. `needs` names the innermost set-up; those around it follow. The last cause, "not found today", is added with the share that is left of 100.
 * @throws RangeError when the shares leave nothing for it, or a check or cause hangs on a check that is not there.
 */
export function defineFamily<SetUp extends string, Cause extends string>(line: {
  slug: string
  sign: string
  device?: string
  fittedAny?: readonly string[]
  tanks?: readonly TankKind[]
  lookAgainDays?: number
  first?: readonly StepLine[]
  setUps?: Record<SetUp, SetUpLine<SetUp>>
  causes: Record<Cause, CauseLine<SetUp>>
  checks: Record<string, CheckLine<SetUp, Cause>>
  leaving?: readonly StepLine[]
}): FaultFamily {
  const setUps: Partial<Record<string, SetUpLine<SetUp>>> = line.setUps ?? {}
  const chain = (slug: string | undefined): string[] => (slug ? [...chain(setUps[slug]?.within), slug] : [])
  const causes = Object.entries<CauseLine<SetUp>>(line.causes)
  const left = 100 - causes.reduce((sum, [, { share }]) => sum + share, 0)
  if (!(left > 0)) throw new RangeError(`${line.slug} leaves nothing for "not found today"`)
  const checks = Object.entries<CheckLine<SetUp, Cause>>(line.checks)
  for (const [slug, { seenBy }] of causes)
    if (seenBy !== undefined && !(seenBy in line.checks))
      throw new RangeError(`${line.slug}: ${slug} is shown by unknown ${seenBy}`)
  for (const [slug, { after = [] }] of checks)
    for (const before of after)
      if (!(before in line.checks)) throw new RangeError(`${line.slug}: ${slug} comes after unknown ${before}`)
  return {
    slug: line.slug,
    sign: line.sign,
    equipmentClass: line.device ?? null,
    ...(line.fittedAny ? { fittedAny: line.fittedAny } : {}),
    tankKinds: line.tanks ?? null,
    firstSteps: (line.first ?? []).map(stepOf),
    setUps: Object.entries<SetUpLine<SetUp>>(line.setUps ?? {}).map(([slug, { within, off, ...rest }]) => ({
      slug,
      needs: chain(within),
      switchesOff: off ?? [],
      cautions: [],
      source: NO_SOURCE,
      ...rest,
    })),
    causes: [
      ...causes.map(([slug, { share, needs, tanks, seenBy, ...rest }]) => ({
        slug,
        sharePercent: share,
        needs: chain(needs),
        shownBy: seenBy ? [seenBy] : [],
        last: false,
        cautions: [],
        source: NO_SOURCE,
        ...rest,
        ...(tanks ? { tankKinds: tanks } : {}),
      })),
      {
        slug: NOT_FOUND,
        name: 'Not found today, or none of these',
        sharePercent: left,
        remedy: 'Write down what you ruled out, leave the tank safe and book a follow-up.',
        minutes: FOLLOW_UP_MINUTES,
        needs: [],
        shownBy: [],
        last: true,
        cautions: [],
        source: NO_SOURCE,
      },
    ],
    checks: checks.map(([slug, { ask, needs, tanks, answers, ...rest }]) => ({
      slug,
      question: ask,
      needs: chain(needs),
      after: [],
      running: false,
      cautions: [],
      source: NO_SOURCE,
      ...rest,
      answers: Object.entries<AnswerLine<Cause>>(answers).map(answerOf),
      ...(tanks ? { tankKinds: tanks } : {}),
    })),
    beforeLeaving: (line.leaving ?? []).map(stepOf),
    lookAgainDays: line.lookAgainDays ?? LOOK_AGAIN_DAYS,
  }
}

function stepOf(line: StepLine): FaultStep {
  if (typeof line === 'string') return { text: line, cautions: [] }
  if ('off' in line) return { text: line.text, cautions: line.cautions ?? [], switchesOff: line.off }
  const [text, ...cautions] = line
  return { text, cautions }
}

function answerOf([slug, [words, points, now, then]]: readonly [string, AnswerLine<string>]): FaultAnswer {
  const rest = points === 'rest'
  return {
    ...{ slug, words, points: rest ? [] : points, rest },
    ...(now === undefined ? {} : { now }),
    ...(then?.off ? { switchesOff: then.off } : {}),
    ...(then?.ends ? { ends: then.ends } : {}),
  }
}
