// Expected minutes by hand, from the definitions; the best possible by exact dynamic programming in exact-plan.ts.
import { describe, expect, test } from 'vitest'
import { type DiagnosisCheck, type DiagnosisModel, nextCheck, updateCounts } from '@/lib/science'
import { seededRandom } from '../seeded-random'
import { exactPlan } from './exact-plan'
import { randomModel } from './random-model'
import { checklistOf, drawFaults, minutesToCure, type Policy, programOf } from './simulated-fault'

const cause = (slug: string, prior = 1, minutes = 30) => ({ slug, prior, minutes })
const check = (slug: string, points: string[], more: Partial<DiagnosisCheck> = {}): DiagnosisCheck => ({
  slug,
  minutes: 1,
  answers: [
    { slug: 'yes', points },
    { slug: 'no', rest: true },
  ],
  ...more,
})

describe('the next check', () => {
  const two: DiagnosisModel = { causes: [cause('a'), cause('b')], checks: [check('look', ['a'])] }
  test('1 + 30 + a tenth of 30, against 30 + half of 30', () => {
    expect(nextCheck(two, {})).toEqual({
      check: 'look',
      cure: null,
      expectedMinutes: expect.closeTo(34, 9),
      expectedSavings: expect.closeTo(11, 9),
    })
  })
  test('after the answer the likelier is cured; then the other; then nothing is left', () => {
    const answers = { look: 'yes' }
    expect(nextCheck(two, { answers })).toMatchObject({
      check: null,
      cure: 'a',
      expectedMinutes: expect.closeTo(33, 9),
    })
    expect(nextCheck(two, { answers, ruledOut: ['a'] })).toMatchObject({
      cure: 'b',
      expectedMinutes: expect.closeTo(30, 9),
    })
    expect(nextCheck(two, { answers, ruledOut: ['a', 'b'] })).toMatchObject({
      check: null,
      cure: null,
      expectedMinutes: 0,
    })
  })
  test('a check that costs more than it saves is not done', () => {
    const dear = { ...two, checks: [check('look', ['a'], { minutes: 13 })] }
    expect(nextCheck(dear, {})).toMatchObject({ check: null, cure: 'a', expectedSavings: 0 })
  })
  test('precedence holds; a check skipped or done out of turn holds nothing up', () => {
    const model = { ...two, checks: [check('first', [], { minutes: 5 }), check('look', ['a'], { after: ['first'] })] }
    expect(nextCheck(model, {}).check).toBe('first')
    expect(nextCheck(model, { skipped: ['first'] }).check).toBe('look')
    expect(nextCheck(model, { answers: { look: 'yes' } }).check).toBeNull()
  })
  test('nothing is cured unseen, whatever its share; the honest end comes last, whatever its share', () => {
    const model: DiagnosisModel = {
      causes: [
        { ...cause('hidden', 100, 1), after: ['open'] },
        cause('plain', 1, 20),
        { ...cause('end', 500, 1), last: true },
      ],
      checks: [check('open', ['hidden'], { minutes: 10 })],
    }
    expect(nextCheck(model, {}).check).toBe('open')
    expect(nextCheck(model, { answers: { open: 'no' }, ruledOut: ['hidden'] }).cure).toBe('plain')
    expect(nextCheck(model, { answers: { open: 'no' }, ruledOut: ['hidden', 'plain'] }).cure).toBe('end')
  })
  test('what must be seen running comes before the device is taken out, and costs the way again after', () => {
    const model: DiagnosisModel = {
      causes: [cause('a'), cause('b'), cause('c')],
      checks: [check('inside', ['a'], { needs: ['out'] }), check('running', ['b'], { running: true })],
      setUps: [{ slug: 'out', minutes: 6 }],
    }
    expect(nextCheck(model, {}).check).toBe('running')
    const out = nextCheck(model, { inPlace: ['out'] })
    expect(out.check).toBe('inside')
    expect(nextCheck(model, {}).expectedMinutes - out.expectedMinutes).toBeGreaterThan(3)
  })
  test.each([
    [3, 1],
    [1, 3],
  ])('between equals the least invasive goes first (%d against %d)', (one, other) => {
    const model = {
      ...two,
      checks: [check('this', ['a'], { invasiveness: one }), check('that', ['b'], { invasiveness: other })],
    }
    expect(nextCheck(model, {}).check).toBe(one < other ? 'this' : 'that')
  })
  test('a model and evidence survive JSON', () => {
    const model = randomModel(seededRandom(3), { causes: 5, checks: 4 })
    expect(nextCheck(JSON.parse(JSON.stringify(model)), {})).toEqual(nextCheck(model, {}))
  })
  test('an unknown answer, set-up or check is refused', () => {
    for (const evidence of [{ answers: { look: 'maybe' } }, { inPlace: ['out'] }, { skipped: ['x'] }])
      expect(() => nextCheck(two, evidence)).toThrow(RangeError)
  })
})

describe('1,000 faults of stated truth in each of 24 models', () => {
  const random = seededRandom(20)
  const runs = Array.from({ length: 24 }, (_, run) => {
    const model = randomModel(random, { causes: 4 + (run % 4), checks: 5 })
    const exact = exactPlan(model)
    const faults = drawFaults(model, 1000, random)
    const meanOf = (policy: Policy) =>
      faults.reduce((sum, fault) => sum + minutesToCure(model, policy, fault), 0) / faults.length
    return {
      expected: exact.expectedMinutes,
      promised: nextCheck(model, {}).expectedMinutes,
      best: meanOf(exact.stepAt),
      program: meanOf(programOf(model)),
      checklist: meanOf(checklistOf(model)),
    }
  })
  test('the simulated clock agrees with the computed minutes of the best plan', () => {
    // A standard error of one model's mean is about 2 %; of all together about 0.4 %.
    const ratio = runs.reduce((sum, { best, expected }) => sum + best / expected, 0) / runs.length
    expect(Math.abs(ratio - 1)).toBeLessThan(0.015)
  })
  test('the minutes promised at the start are rather too long than too short', () => {
    for (const { expected, promised } of runs) expect(promised).toBeGreaterThan(expected * 0.95)
    const promised = runs.reduce((sum, run) => sum + run.promised / run.expected, 0) / runs.length
    expect(promised).toBeGreaterThan(1)
    expect(promised).toBeLessThan(1.1)
  })
  test('mean time to cure within 3 % of dynamic programming, in every model and together', () => {
    for (const { program, best } of runs) expect(program / best).toBeLessThan(1.03)
    const sum = (name: 'program' | 'best' | 'checklist') => runs.reduce((total, run) => total + run[name], 0)
    expect(sum('program') / sum('best')).toBeLessThan(1.01)
    expect(sum('checklist') / sum('program')).toBeGreaterThan(1.15)
  })
})

test('40 cases of a business that differs from the table shorten its faults', () => {
  const random = seededRandom(5)
  let [before, after, known] = [0, 0, 0]
  for (let run = 0; run < 12; run++) {
    const table = randomModel(random, { causes: 7, checks: 4 })
    const truth = { ...table, causes: table.causes.map((one) => ({ ...one, prior: 0.05 + random() ** 4 * 10 })) }
    const sum = table.causes.reduce((total, { prior }) => total + prior, 0)
    const start = { ...table, causes: table.causes.map((one) => ({ ...one, prior: (10 * one.prior) / sum })) }
    const learnt = updateCounts(start, drawFaults(truth, 40, random))
    const [asStarted, asLearnt, asKnown] = [programOf(start), programOf(learnt), programOf(truth)]
    for (const fault of drawFaults(truth, 300, random)) {
      before += minutesToCure(truth, asStarted, fault)
      after += minutesToCure(truth, asLearnt, fault)
      known += minutesToCure(truth, asKnown, fault)
    }
  }
  expect(after).toBeLessThan(before * 0.97)
  expect(after - known).toBeLessThan((before - known) / 2)
})
