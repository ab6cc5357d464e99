import { type DiagnosisModel, nextCheck } from '@/lib/science/diagnosis'
import { chanceOf, type Situation, type Step } from './exact-plan'

/** One fault whose truth is known: its cause, and the answer each check would give, whoever asks and whenever. */
export type SimulatedFault = { cause: string; answers: Record<string, string> }

/** Faults drawn from the model itself: causes by their shares, answers by their chances. */
export function drawFaults(model: DiagnosisModel, count: number, random: () => number): SimulatedFault[] {
  const shares = model.causes.map(({ slug, prior, seen = 0 }) => ({ slug, chance: prior + seen }))
  return Array.from({ length: count }, () => {
    const cause = pick(shares, random)
    const answers = model.checks.map((check) => {
      const chances = check.answers.map(({ slug }) => ({ slug, chance: chanceOf(check, slug, cause) }))
      return [check.slug, pick(chances, random)] as const
    })
    return { cause, answers: Object.fromEntries(answers) }
  })
}

function pick(things: readonly { slug: string; chance: number }[], random: () => number): string {
  let left = random() * things.reduce((sum, { chance }) => sum + chance, 0)
  for (const { slug, chance } of things) {
    left -= chance
    if (left < 0) return slug
  }
  return things.at(-1)?.slug ?? ''
}

export type Policy = (situation: Situation) => Step

/** Minutes until the fault is gone. The clock is kept here, by the definitions of the model, not by the program. */
export function minutesToCure(model: DiagnosisModel, policy: Policy, fault: SimulatedFault): number {
  const setUps = new Map((model.setUps ?? []).map(({ slug, minutes }) => [slug, minutes]))
  const situation = { answers: {} as Record<string, string>, cured: [] as string[], inPlace: [] as string[] }
  let minutes = 0
  const reach = (needs: readonly string[] = []) => {
    for (const slug of needs.filter((one) => !situation.inPlace.includes(one))) {
      minutes += setUps.get(slug) ?? Number.NaN
      situation.inPlace.push(slug)
    }
  }
  for (;;) {
    const step = policy({ ...situation })
    if ('check' in step) {
      const check = model.checks.find(({ slug }) => slug === step.check)
      if (!check || step.check in situation.answers) throw new RangeError(`${step.check} cannot be done now`)
      if (check.after?.some((slug) => !(slug in situation.answers)))
        throw new RangeError(`${step.check} comes too early`)
      if (check.running) situation.inPlace = []
      reach(check.needs)
      minutes += check.minutes
      situation.answers = { ...situation.answers, [step.check]: fault.answers[step.check] ?? '' }
    } else {
      const cause = model.causes.find(({ slug }) => slug === step.cure)
      if (!cause || situation.cured.includes(step.cure)) throw new RangeError(`${step.cure} cannot be cured now`)
      if (cause.after?.some((slug) => !(slug in situation.answers))) throw new RangeError(`${step.cure} was not seen`)
      reach(cause.needs)
      minutes += cause.minutes
      if (step.cure === fault.cause) return minutes
      situation.cured = [...situation.cured, step.cure]
    }
  }
}

/** What the program says, remembered by situation. */
export function programOf(model: DiagnosisModel): Policy {
  const said = new Map<string, Step>()
  return ({ answers, cured, inPlace }) => {
    const key = JSON.stringify([Object.entries(answers).sort(), [...cured].sort(), [...inPlace].sort()])
    const before = said.get(key)
    if (before) return before
    const { check, cure } = nextCheck(model, { answers, ruledOut: cured, inPlace })
    const step = check !== null ? { check } : cure !== null ? { cure } : null
    if (!step) throw new RangeError('the program has nothing to say before the fault is gone')
    said.set(key, step)
    return step
  }
}

/** A checklist followed to its end without thinking: every check in its order; whenever an answer points to causes, those are cured at once, in the order of the list; then whatever is left. */
export function checklistOf(model: DiagnosisModel): Policy {
  return ({ answers, cured }) => {
    const open = model.causes.filter(({ slug }) => !cured.includes(slug))
    const given = Object.entries(answers).at(-1)
    const check = model.checks.find(({ slug }) => slug === given?.[0])
    const points = check?.answers.find(({ slug }) => slug === given?.[1])?.points ?? []
    const seen = ({ after = [] }: { after?: readonly string[] }) => after.every((slug) => slug in answers)
    const pointed = open.find((cause) => !cause.last && points.includes(cause.slug) && seen(cause))
    if (pointed) return { cure: pointed.slug }
    const next = model.checks.find(({ slug }) => !(slug in answers))
    if (next) return { check: next.slug }
    const left = open.find(({ last }) => !last) ?? open[0]
    if (!left) throw new RangeError('nothing is left')
    return { cure: left.slug }
  }
}
