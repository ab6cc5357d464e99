/** From what was done in a search to the next step. Pure, and light: it runs on the phone too. */
import { type DiagnosisEvidence, type DiagnosisModel, nextCheck, rankCauses } from '@/lib/science/diagnosis'
import type { CauseView, CheckView, Move, SetUpView, SignView } from './schema'

export type NextStep =
  | { step: 'set-up'; setUp: SetUpView; forWhat: string }
  | { step: 'check'; check: CheckView }
  | { step: 'cure'; cause: CauseView }
  /** It was found, or nothing is left to look at: the words about it. */
  | { step: 'end'; cause: CauseView }
  | { step: 'nothing' }

export type Hunt = {
  next: NextStep
  /** Likeliest first, with their share of what is still possible, in per cent. */
  likely: { cause: CauseView; percent: number }[]
  /** About how many minutes it will take from here. */
  minutes: number
  inPlace: readonly string[]
  /** Words of answers that cannot wait. */
  now: string[]
  /** Cases of this sign in the business's own records. */
  cases: number
}

/** Where a search stands after these moves. */
export function huntAfter(sign: SignView, model: DiagnosisModel, made: readonly Move[]): Hunt {
  const moves = knownOf(sign, made)
  const evidence = evidenceOf(sign, moves)
  const { inPlace = [] } = evidence
  const { check, cure, expectedMinutes } = nextCheck(model, evidence)
  const byCause = new Map(sign.causes.map((cause) => [cause.slug, cause]))
  const likely = rankCauses(model, evidence).flatMap(({ cause, probability }) => {
    const view = byCause.get(cause)
    return view && probability > 0 ? [{ cause: view, percent: Math.round(100 * probability) }] : []
  })
  const last = moves.at(-1)
  // After some answers nothing more may be tried: somebody else must come.
  const isOver = answersIn(sign, evidence).some(({ ends }) => ends)
  const said = last?.did === 'found' ? byCause.get(last.cause) : undefined
  const turnedTo = turnedToIn(moves)
  const own = turnedTo === null ? null : likely.find(({ cause }) => cause.slug === turnedTo)?.cause
  const found = said ?? (isOver ? (own ?? likely[0]?.cause) : undefined)
  const proposed = sign.checks.find(({ slug }) => slug === check)
  const cause = own ?? (proposed ? null : (byCause.get(cure ?? '') ?? null))
  const step = own ? own : (proposed ?? cause)
  const missing = step ? step.needs.find((setUp) => !inPlace.includes(setUp)) : undefined
  const setUp = sign.setUps.find(({ slug }) => slug === missing)
  return {
    next: found ? { step: 'end', cause: found } : nextOf({ setUp, cause, check: own ? undefined : proposed }),
    ...{ likely, inPlace, minutes: Math.round(expectedMinutes), now: nowOf(sign, evidence) },
    cases: sign.causes.reduce((sum, { seen }) => sum + seen, 0),
  }
}

function nextOf({
  setUp,
  cause,
  check,
}: {
  setUp: SetUpView | undefined
  cause: CauseView | null
  check: CheckView | undefined
}): NextStep {
  if (setUp) return { step: 'set-up', setUp, forWhat: check?.question ?? cause?.name ?? '' }
  if (check) return { step: 'check', check }
  if (!cause) return { step: 'nothing' }
  return cause.last ? { step: 'end', cause } : { step: 'cure', cause }
}

/** The moves that the sign knows: an address may be old, or somebody's own. */
function knownOf(sign: SignView, moves: readonly Move[]): Move[] {
  const has = (things: readonly { slug: string }[], slug: string) => things.some((thing) => thing.slug === slug)
  return moves.filter((move) => {
    switch (move.did) {
      case 'answered':
        return sign.checks.some(({ slug, answers }) => slug === move.check && has(answers, move.answer))
      case 'skipped':
        return has(sign.checks, move.check)
      case 'readied':
        return has(sign.setUps, move.setUp)
      default:
        return has(sign.causes, move.cause)
    }
  })
}

/** What was learnt. What must be seen running takes everything back: the plug is in again, and later out once more. */
function evidenceOf(sign: SignView, moves: readonly Move[]): DiagnosisEvidence {
  const answers: Record<string, string> = {}
  const skipped: string[] = []
  const ruledOut: string[] = []
  let inPlace: string[] = []
  for (const move of moves) {
    switch (move.did) {
      case 'answered':
        answers[move.check] = move.answer
        if (sign.checks.find(({ slug }) => slug === move.check)?.running) inPlace = []
        break
      case 'skipped':
        skipped.push(move.check)
        break
      case 'readied':
        inPlace = [...new Set([...inPlace, move.setUp])]
        break
      case 'ruled-out':
        ruledOut.push(move.cause)
        break
    }
  }
  return { answers, skipped, ruledOut, inPlace }
}

/** The cause that somebody turned to and has neither left again nor ruled out. */
function turnedToIn(moves: readonly Move[]): string | null {
  const last = moves.findLast(({ did }) => did === 'turned-to' || did === 'ruled-out' || did === 'answered')
  return last?.did === 'turned-to' ? last.cause : null
}

function answersIn(sign: SignView, { answers = {} }: DiagnosisEvidence) {
  return sign.checks.flatMap(({ slug, answers: known }) => known.find((answer) => answer.slug === answers[slug]) ?? [])
}

const nowOf = (sign: SignView, evidence: DiagnosisEvidence) => answersIn(sign, evidence).flatMap(({ now }) => now ?? [])

/** What was answered and what was ruled out, as the log keeps it. */
export function learntFrom(moves: readonly Move[]) {
  const answers = new Map(
    moves.flatMap((move) => (move.did === 'answered' ? [[move.check, move.answer] as const] : [])),
  )
  return {
    answers: [...answers].map(([check, answer]) => ({ check, answer })),
    ruledOut: [...new Set(moves.flatMap((move) => (move.did === 'ruled-out' ? [move.cause] : [])))],
  }
}

/** Set-ups that were in place at any time: what they switch off was off. */
export function readiedIn(moves: readonly Move[]): string[] {
  return [...new Set(moves.flatMap((move) => (move.did === 'readied' ? [move.setUp] : [])))]
}
