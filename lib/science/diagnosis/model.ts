/**
 * What is known before anything is looked at: causes of one sign, checks that tell them apart, and what must be done first to reach them. Plain data: it goes to the phone as it is.
 *
 * Assumptions, on which everything in this folder stands:
 * - one fault: exactly one of the causes is behind the sign (`last` stands for "none of these");
 * - answers depend on the cause alone: given the cause, one check's answer says nothing about another's, so asking the same thing twice counts twice;
 * - curing a cause takes its minutes, works if that was the cause, and whether it worked is seen at once; what must be seen first (`after`) is never cured unseen;
 * - minutes are what counts. Danger is not weighed here: it goes first, outside.
 */

export type DiagnosisCause = {
  slug: string
  /** Cases that the starting guess counts as; 0 or more. Shares follow from `prior` + `seen`. */
  prior: number
  /** Cases of this cause in one's own records. */
  seen?: number
  /** Minutes to cure it once its set-ups are in place; above 0. */
  minutes: number
  /** Set-ups that curing it needs. */
  needs?: readonly string[]
  /** Checks that must have been done before it is cured: nothing is cured unseen. */
  after?: readonly string[]
  /** The honest end: tried when no other cause is left, whatever its share. */
  last?: boolean
}

export type DiagnosisAnswer = {
  slug: string
  /** Causes under which this is the answer to expect. */
  points?: readonly string[]
  /** The answer to expect under every cause that no answer points to. */
  rest?: boolean
}

export type DiagnosisCheck = {
  slug: string
  /** Minutes once its set-ups are in place; 0 or more. */
  minutes: number
  answers: readonly DiagnosisAnswer[]
  /** Chance of the answer to expect, given the cause; `DEFAULT_HIT` where nothing is known. */
  hit?: number
  /** The same where something is known of a single cause. */
  hits?: Readonly<Record<string, number>>
  /** Checks that come before it. */
  after?: readonly string[]
  needs?: readonly string[]
  /** Must be seen running: every set-up is taken back first, and costs its minutes again later. */
  running?: boolean
  /** Between equals the smaller goes first; 0 where left out. */
  invasiveness?: number
}

/** Something shared: paid once, then in place for every check and cure that needs it. Its minutes hold the way back too. */
export type DiagnosisSetUp = { slug: string; minutes: number }

export type DiagnosisModel = {
  causes: readonly DiagnosisCause[]
  checks: readonly DiagnosisCheck[]
  setUps?: readonly DiagnosisSetUp[]
}

/** What has been learnt so far. Any order, any selection: whoever looks may go their own way. */
export type DiagnosisEvidence = {
  /** Check → answer. */
  answers?: Readonly<Record<string, string>>
  /** Checks that cannot be done here; they no longer hold up those after them. */
  skipped?: readonly string[]
  /** Causes seen not to be it, or cured in vain. */
  ruledOut?: readonly string[]
  /** Set-ups in place now. */
  inPlace?: readonly string[]
}

/** Chance of the expected answer where nothing is known of a check; the other answers share the rest. Common practice, no source. */
export const DEFAULT_HIT = 0.9
/** Set-ups and checks are bits of one number. */
const MOST_BITS = 30

/** A model by numbers: places instead of slugs; set-ups, then checks, as bits. */
export type NumberedModel = {
  causes: NumberedCause[]
  checks: NumberedCheck[]
  /** Of each bit. */
  minutes: number[]
  setUpBit: ReadonlyMap<string, number>
}
export type NumberedCause = {
  slug: string
  weight: number
  minutes: number
  /** Set-ups. */
  needs: number
  /** Places of the checks that come before it, and before those. */
  after: number[]
  last: boolean
}
export type NumberedCheck = {
  slug: string
  minutes: number
  bit: number
  /** Set-ups. */
  needs: number
  running: boolean
  after: number[]
  invasiveness: number
  answers: string[]
  /** Answer × cause. */
  chances: number[][]
}

/**
 * The model by numbers. Chance of an answer given a cause: `hit`, shared among the answers that point to the cause, and 1 − `hit` shared among the others; under a cause to which
 * nothing points and no `rest` is named, every answer is as likely as the next.
 * Errors: RangeError with a plain sentence where something is out of its domain, named twice or unknown.
 */
export function numberModel(model: DiagnosisModel): NumberedModel {
  const setUps = model.setUps ?? []
  if (setUps.length + model.checks.length > MOST_BITS)
    throw new RangeError(`at most ${MOST_BITS} set-ups and checks together, got ${setUps.length + model.checks.length}`)
  const causeAt = placesOf('cause', model.causes)
  const checkAt = placesOf('check', model.checks)
  const setUpBit = new Map([...placesOf('set-up', setUps)].map(([slug, place]) => [slug, 1 << place]))
  if (model.causes.length === 0) throw new RangeError('a model needs a cause')
  const bits = (needs: readonly string[] = []) =>
    needs.reduce((mask, slug) => mask | valueIn(setUpBit, slug, 'set-up'), 0)
  const places = (slugs: readonly string[] = []) => slugs.map((slug) => valueIn(checkAt, slug, 'check'))
  const checks = model.checks.map((check, place) => ({
    slug: check.slug,
    minutes: least(check.minutes, `minutes of ${check.slug}`),
    bit: 1 << (setUps.length + place),
    needs: bits(check.needs),
    running: check.running ?? false,
    after: places(check.after),
    invasiveness: check.invasiveness ?? 0,
    answers: check.answers.map(({ slug }) => slug),
    chances: chancesOf(check, causeAt),
  }))
  const causes = model.causes.map(({ slug, prior, seen = 0, minutes, needs, after, last = false }) => ({
    slug,
    weight: least(prior, `cases before one's own of ${slug}`) + least(seen, `cases of ${slug}`),
    minutes: above(minutes, `minutes to cure ${slug}`),
    needs: bits(needs),
    after: [...withThoseBefore(checks, places(after))],
    last,
  }))
  if (!causes.some(({ weight }) => weight > 0)) throw new RangeError('at least one cause needs a share above 0')
  withThoseBefore(
    checks,
    checks.map((_, place) => place),
  )
  const ofSetUps = setUps.map(({ slug, minutes }) => least(minutes, `minutes of ${slug}`))
  return { causes, checks, minutes: [...ofSetUps, ...checks.map(({ minutes }) => minutes)], setUpBit }
}

/** The checks, those before them, and so on. Errors: RangeError where a check comes before itself. */
function withThoseBefore(checks: readonly NumberedCheck[], places: readonly number[], above: readonly number[] = []) {
  const found = new Set<number>()
  for (const place of places) {
    if (above.includes(place)) throw new RangeError(`${checks[place]?.slug} comes before itself`)
    for (const before of withThoseBefore(checks, checks[place]?.after ?? [], [...above, place])) found.add(before)
    found.add(place)
  }
  return found
}

function chancesOf(check: DiagnosisCheck, causeAt: ReadonlyMap<string, number>): number[][] {
  const { slug, answers, hit = DEFAULT_HIT } = check
  if (answers.length < 2) throw new RangeError(`${slug} needs two answers or more`)
  const { hits = {} } = check
  for (const cause of Object.keys(hits)) valueIn(causeAt, cause, 'cause')
  for (const chance of [hit, ...Object.values(hits)])
    if (!(chance > 0 && chance < 1))
      throw new RangeError(`the chance of the expected answer of ${slug} lies between 0 and 1, got ${chance}`)
  placesOf(`answer of ${slug}`, answers)
  const rests = answers.filter(({ rest }) => rest).length
  if (rests > 1) throw new RangeError(`${slug} has ${rests} answers for all other causes`)
  const pointed = new Set(answers.flatMap(({ points = [] }) => points))
  for (const cause of pointed) valueIn(causeAt, cause, 'cause')
  const expected = answers.map(
    ({ points = [], rest }) =>
      (cause: string) =>
        points.includes(cause) || (rest === true && !pointed.has(cause)),
  )
  const causes = [...causeAt.keys()]
  const counts = causes.map((cause) => expected.filter((expects) => expects(cause)).length)
  return expected.map((expects) =>
    causes.map((cause, place) => {
      const count = counts[place] ?? 0
      if (count === 0 || count === answers.length) return 1 / answers.length
      const sure = hits[cause] ?? hit
      return expects(cause) ? sure / count : (1 - sure) / (answers.length - count)
    }),
  )
}

/**
 * Prior share × chance of every answer given, for each cause; 0 where it was ruled out. Not normalised.
 * Errors: RangeError on evidence that names something unknown.
 */
export function weightsAfter(model: NumberedModel, evidence: DiagnosisEvidence): number[] {
  const causeAt = placesOf('cause', model.causes)
  const out = new Set((evidence.ruledOut ?? []).map((slug) => valueIn(causeAt, slug, 'cause')))
  let weights = model.causes.map(({ weight }, place) => (out.has(place) ? 0 : weight))
  for (const [slug, answer] of Object.entries(evidence.answers ?? {})) {
    const check = model.checks.find((one) => one.slug === slug)
    if (!check) throw new RangeError(`there is no check ${slug}`)
    const chances = check.chances[check.answers.indexOf(answer)]
    if (!chances) throw new RangeError(`${slug} has no answer ${answer}`)
    weights = weights.map((weight, place) => weight * (chances[place] ?? 0))
  }
  return weights
}

function placesOf(what: string, things: readonly { slug: string }[]): Map<string, number> {
  const places = new Map(things.map(({ slug }, place) => [slug, place]))
  if (places.size < things.length) throw new RangeError(`a ${what} is named twice`)
  return places
}
export function valueIn(values: ReadonlyMap<string, number>, slug: string, what: string): number {
  const value = values.get(slug)
  if (value === undefined) throw new RangeError(`there is no ${what} ${slug}`)
  return value
}
function least(value: number, what: string): number {
  if (!(value >= 0 && value < Infinity)) throw new RangeError(`${what} must be a number of 0 or more, got ${value}`)
  return value
}
function above(value: number, what: string): number {
  if (!(value > 0 && value < Infinity)) throw new RangeError(`${what} must be a number above 0, got ${value}`)
  return value
}
