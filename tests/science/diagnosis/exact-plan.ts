import { DEFAULT_HIT, type DiagnosisCheck, type DiagnosisModel } from '@/lib/science/diagnosis'

/** More states than this are not tried. */
const MOST_STATES = 3_000_000

export type Step = { check: string } | { cure: string }
export type ExactPlan = { expectedMinutes: number; states: number; stepAt: (situation: Situation) => Step }
export type Situation = { answers: Record<string, string>; cured: readonly string[]; inPlace: readonly string[] }

/** Chance of an answer given a cause, from its definition and from nothing else of the program. */
export function chanceOf(check: DiagnosisCheck, answer: string, cause: string): number {
  const pointing = check.answers.filter(({ points = [] }) => points.includes(cause))
  const expected = pointing.length > 0 ? pointing : check.answers.filter(({ rest }) => rest)
  const others = check.answers.length - expected.length
  if (expected.length === 0 || others === 0) return 1 / check.answers.length
  const hit = check.hits?.[cause] ?? check.hit ?? DEFAULT_HIT
  return expected.some(({ slug }) => slug === answer) ? hit / expected.length : (1 - hit) / others
}

/**
 * The least expected minutes of any plan, by exact dynamic programming over all situations (answers so far × causes cured in vain × set-ups in place): every check that may come and
 * every cure is tried in each. The honest ends (`last`) come only when no other cause is left, as for the program. Throws where there are too many situations.
 */
export function exactPlan(model: DiagnosisModel): ExactPlan {
  const { causes, checks, setUps = [] } = model
  const sum = causes.reduce((total, { prior, seen = 0 }) => total + prior + seen, 0)
  const share = causes.map(({ prior, seen = 0 }) => (prior + seen) / sum)
  const bitOf = (slugs: readonly string[] = []) =>
    slugs.reduce((mask, slug) => mask | (1 << setUps.findIndex((one) => one.slug === slug)), 0)
  const places = new Map(checks.map(({ slug }, place) => [slug, place]))
  const facts = checks.map((check) => ({
    ...check,
    needsBits: bitOf(check.needs),
    afterPlaces: (check.after ?? []).map((slug) => places.get(slug) ?? -1),
    chances: check.answers.map(({ slug }) => causes.map((cause) => chanceOf(check, slug, cause.slug))),
  }))
  const needsOfCause = causes.map(({ needs }) => bitOf(needs))
  const radix: number[] = []
  let answerStates = 1
  for (const { answers } of checks) {
    radix.push(answerStates)
    answerStates *= answers.length + 1
  }
  const [cureStates, setUpStates] = [2 ** causes.length, 2 ** setUps.length]
  const known = new Map<number, number>()
  const missing = (needs: number, inPlace: number) =>
    setUps.reduce((total, { minutes }, bit) => (needs & ~inPlace & (1 << bit) ? total + minutes : total), 0)
  const mayCure = (place: number, cured: number, code: number) =>
    (cured & (1 << place)) === 0 &&
    (causes[place]?.after ?? []).every((slug) => digit(code, places.get(slug) ?? -1) !== 0) &&
    (!causes[place]?.last || causes.every(({ last }, other) => last || (cured & (1 << other)) !== 0))
  const digit = (code: number, place: number) =>
    Math.floor(code / (radix[place] ?? 1)) % ((checks[place]?.answers.length ?? 0) + 1)

  type Visit = { code: number; cured: number; inPlace: number; weights: number[] }
  /** Value per unit of weight, so that one figure serves however the situation was reached. */
  function value(visit: Visit): number {
    const { code, cured, inPlace, weights } = visit
    const total = weights.reduce((one, other) => one + other, 0)
    if (total <= 0) return 0
    const key = (code * cureStates + cured) * setUpStates + inPlace
    const before = known.get(key)
    if (before !== undefined) return before * total
    if (known.size > MOST_STATES) throw new RangeError('there are too many situations')
    let best = Infinity
    for (const { expected } of steps(visit, total)) best = Math.min(best, expected)
    known.set(key, best / total)
    return best
  }
  function* steps(
    { code, cured, inPlace, weights }: Visit,
    total: number,
  ): Generator<{ step: Step; expected: number }> {
    for (const [place, cause] of causes.entries()) {
      if (!mayCure(place, cured, code)) continue
      const needs = needsOfCause[place] ?? 0
      const rest = value({
        code,
        cured: cured | (1 << place),
        inPlace: inPlace | needs,
        weights: weights.map((weight, other) => (other === place ? 0 : weight)),
      })
      yield { step: { cure: cause.slug }, expected: total * (cause.minutes + missing(needs, inPlace)) + rest }
    }
    for (const [place, check] of facts.entries()) {
      if (digit(code, place) !== 0 || check.afterPlaces.some((other) => digit(code, other) === 0)) continue
      const ready = check.running ? 0 : inPlace
      let expected = total * (check.minutes + missing(check.needsBits, ready))
      for (const [answer, chances] of check.chances.entries())
        expected += value({
          code: code + (answer + 1) * (radix[place] ?? 1),
          cured,
          inPlace: ready | check.needsBits,
          weights: weights.map((weight, cause) => weight * (chances[cause] ?? 0)),
        })
      yield { step: { check: check.slug }, expected }
    }
  }
  const expectedMinutes = value({ code: 0, cured: 0, inPlace: 0, weights: share })
  return {
    expectedMinutes,
    states: known.size,
    stepAt({ answers, cured, inPlace }) {
      let weights = causes.map(({ slug }, place) => (cured.includes(slug) ? 0 : (share[place] ?? 0)))
      let code = 0
      for (const [slug, answer] of Object.entries(answers)) {
        const place = places.get(slug) ?? -1
        const chosen = checks[place]?.answers.findIndex((one) => one.slug === answer) ?? -1
        code += (chosen + 1) * (radix[place] ?? 0)
        weights = weights.map((weight, cause) => weight * (facts[place]?.chances[chosen]?.[cause] ?? 0))
      }
      const curedBits = causes.reduce((mask, { slug }, place) => (cured.includes(slug) ? mask | (1 << place) : mask), 0)
      const total = weights.reduce((one, other) => one + other, 0)
      let best: { step: Step; expected: number } | null = null
      for (const one of steps({ code, cured: curedBits, inPlace: bitOf(inPlace), weights }, total))
        if (!best || one.expected < best.expected) best = one
      if (!best) throw new RangeError('no step is left')
      return best.step
    },
  }
}
