import { cureOrder, missingMinutes, needsOfCure } from './cure-order'
import {
  type DiagnosisEvidence,
  type DiagnosisModel,
  type NumberedCheck,
  type NumberedModel,
  numberModel,
  valueIn,
  weightsAfter,
} from './model'

/** How many steps (checks or cures) are thought through before the rest is curing in order. */
const STEPS_AHEAD = 3
/** Two plans within this share of each other are equals. */
const EQUAL = 1e-9

export type NextCheck = {
  /** The check to do now; null when no check is worth its minutes, or none is left. */
  check: string | null
  /** The cause to cure where there is no check; null when no cause is left. */
  cure: string | null
  /** Expected minutes from here until the fault is gone, this check among them. */
  expectedMinutes: number
  /** Minutes by which that is less than curing one cause after another from here without any check; 0 or more. */
  expectedSavings: number
}

/** `ready`: bits of set-ups in place and checks done. */
type State = { weights: readonly number[]; ready: number }
/** Neither a check nor a cure: nothing is left. */
type Step = { check: NumberedCheck | null; cure: number | null; expected: number }

/**
 * The check that leaves the least expected minutes to the cure. Curing in order (`cureOrder`: probability / minutes, set-ups shared) is the base; a check is worth its minutes, with the
 * set-ups it still needs, plus what the base takes after each answer × the chance of that answer; two steps are thought through, a cure being one of them (rollout). Checks wait
 * for those in `after`; one that must be seen running takes set-ups back. Between equals the least invasive goes first, then the shorter, then the one named first.
 * A cause that must be seen first is cured only after its checks. `expectedMinutes` is an estimate, rather too long than too short: beyond the steps thought through nothing is learnt on the way.
 * Units: minutes. Domain: see `DiagnosisModel`; at most 30 set-ups and checks together. Errors: RangeError on a model or evidence outside it.
 * Source: Heckerman, Breese & Rommelse 1995, CACM 38(3): 49–57 (one step, independent costs); Bertsekas, Tsitsiklis & Wu 1997, J. Heuristics 3: 245–262 (rollout).
 * @example nextCheck({ causes: [{ slug: 'a', prior: 1, minutes: 30 }, { slug: 'b', prior: 1, minutes: 30 }],
 *   checks: [{ slug: 'look', minutes: 1, answers: [{ slug: 'yes', points: ['a'] }, { slug: 'no', rest: true }] }] }, {})
 * // { check: 'look', cure: null, expectedMinutes: 34, expectedSavings: 11 }
 */
export function nextCheck(model: DiagnosisModel, evidence: DiagnosisEvidence = {}): NextCheck {
  const numbered = numberModel(model)
  const checkBit = new Map(numbered.checks.map(({ slug, bit }) => [slug, bit]))
  const done = [...Object.keys(evidence.answers ?? {}), ...(evidence.skipped ?? [])].map((slug) =>
    valueIn(checkBit, slug, 'check'),
  )
  const inPlace = (evidence.inPlace ?? []).map((slug) => valueIn(numbered.setUpBit, slug, 'set-up'))
  const state: State = {
    weights: weightsAfter(numbered, evidence),
    ready: [...done, ...inPlace].reduce((mask, bit) => mask | bit, 0),
  }
  const total = totalOf(state)
  if (!(total > 0)) return { check: null, cure: null, expectedMinutes: 0, expectedSavings: 0 }
  const base = cureOrder(numbered, state.weights, state.ready)
  const { check, cure, expected } = bestStep(numbered, state, STEPS_AHEAD)
  return {
    check: check?.slug ?? null,
    cure: cure === null ? null : (numbered.causes[cure]?.slug ?? null),
    expectedMinutes: expected / total,
    expectedSavings: Math.max(0, (base.expected - expected) / total),
  }
}

function totalOf({ weights }: State): number {
  return weights.reduce((sum, weight) => sum + weight, 0)
}

/** The best step, and the expected minutes × weight with it. */
function bestStep(model: NumberedModel, state: State, ahead: number): Step {
  const base = cureOrder(model, state.weights, state.ready)
  if (ahead === 0 || base.first === null) return { check: null, cure: base.first, expected: base.expected }
  const doneBefore = (place: number) => ((model.checks[place]?.bit ?? 0) & state.ready) !== 0
  // A cure that waits for a check is no step yet: the check is.
  const mayCure = model.causes[base.first]?.after.every(doneBefore) ?? false
  let best: Step = mayCure
    ? { check: null, cure: base.first, expected: Math.min(base.expected, afterCure(model, state, base.first, ahead)) }
    : { check: null, cure: null, expected: Infinity }
  for (const check of model.checks) {
    if ((check.bit & state.ready) !== 0 || !check.after.every(doneBefore)) continue
    const step = { check, cure: null, expected: afterCheck(model, state, check, ahead) }
    if (isBetter(step, best)) best = step
  }
  return best
}

function isBetter(step: Step, best: Step): boolean {
  if (best.expected === Infinity) return true
  const slack = EQUAL * best.expected
  if (step.expected < best.expected - slack) return true
  if (step.expected > best.expected + slack || !best.check || !step.check) return false
  return (step.check.invasiveness - best.check.invasiveness || step.check.minutes - best.check.minutes) < 0
}

/** Curing that cause first, and going on as is best if it was another. */
function afterCure(model: NumberedModel, state: State, place: number, ahead: number): number {
  const needs = needsOfCure(model, place, state.ready)
  const minutes = (model.causes[place]?.minutes ?? 0) + missingMinutes(model, needs, state.ready)
  const weights = state.weights.map((weight, other) => (other === place ? 0 : weight))
  return totalOf(state) * minutes + bestStep(model, { weights, ready: state.ready | needs }, ahead - 1).expected
}

function afterCheck(model: NumberedModel, state: State, check: NumberedCheck, ahead: number): number {
  const before = check.running ? withoutSetUps(model, state.ready) : state.ready
  const ready = before | check.needs | check.bit
  let expected = totalOf(state) * (check.minutes + missingMinutes(model, check.needs, before))
  for (const chances of check.chances) {
    const weights = state.weights.map((weight, cause) => weight * (chances[cause] ?? 0))
    expected += bestStep(model, { weights, ready }, ahead - 1).expected
  }
  return expected
}

function withoutSetUps(model: NumberedModel, ready: number): number {
  return ready & ~((1 << model.setUpBit.size) - 1)
}
