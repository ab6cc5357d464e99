// The way through the tables. The trade's own order of the skimmer: common practice, no source. The best possible minutes: exact dynamic programming.
import { describe, expect, test } from 'vitest'
import { nextCheck, rankCauses } from '@/lib/science/diagnosis'
import { faultFamilies, findFamily, modelOf, NOT_FOUND } from '@/lib/trade/diagnosis'
import { exactPlan } from '../../science/diagnosis/exact-plan'
import { checklistOf, drawFaults, minutesToCure, type Policy, programOf } from '../../science/diagnosis/simulated-fault'
import { seededRandom } from '../../science/seeded-random'

const skimmer = findFamily('skimmer-unsteady')
if (!skimmer) throw new Error('the skimmer is missing')

describe('the skimmer foams unsteadily', () => {
  const TRADE_ORDER = ['sump-level', 'went-in', 'level-neck-cup', 'suction', 'nozzle', 'body', 'wheel', 'impeller']
  const restOf = (slug: string) =>
    skimmer.checks.find((check) => check.slug === slug)?.answers.find(({ rest }) => rest)?.slug ?? ''

  test('with no cases, and nothing seen on the way, the checks come in the order of the trade', () => {
    const model = modelOf(skimmer, { tankKind: 'reef' })
    const answers: Record<string, string> = {}
    const needs = (slug: string) => model.checks.find((check) => check.slug === slug)?.needs ?? []
    for (const expected of TRADE_ORDER) {
      const inPlace = [...new Set(Object.keys(answers).flatMap(needs))]
      expect(nextCheck(model, { answers, inPlace }).check).toBe(expected)
      answers[expected] = restOf(expected)
    }
  })
  test('what needs no plug comes before what does, and each way out is made once', () => {
    const depth = TRADE_ORDER.map((slug) => skimmer.checks.find((check) => check.slug === slug)?.needs.length ?? -1)
    expect(depth).toEqual([0, 0, 0, 0, 1, 2, 3, 4])
  })
  test('weak suction sends to the nozzle, and salt in the nozzle to its flushing', () => {
    const model = modelOf(skimmer, { tankKind: 'reef' })
    const before = {
      'sump-level': 'at-mark',
      'went-in': 'nothing',
      'level-neck-cup': 'level-right',
      suction: 'more-foam',
    }
    expect(rankCauses(model, { answers: before })[0]?.cause).toBe('air-restricted')
    expect(nextCheck(model, { answers: before }).check).toBe('nozzle')
    const found = { answers: { ...before, nozzle: 'blocked' }, inPlace: ['plug-out'] }
    expect(nextCheck(model, found)).toMatchObject({ check: null, cure: 'air-restricted' })
  })
  test('the technician may open the pump at once', () => {
    const model = modelOf(skimmer, { tankKind: 'reef' })
    const own = { answers: { wheel: 'clogged' }, inPlace: ['plug-out', 'lifted-out', 'pump-open'] }
    expect(rankCauses(model, own)[0]).toMatchObject({ cause: 'wheel-clogged' })
    expect(nextCheck(model, { ...own, skipped: TRADE_ORDER.slice(0, 6) }).cure).toBe('wheel-clogged')
  })
  test('40 cases of its own, 14 of them the wheel: the wheel comes first, and says 14', () => {
    const cases = [
      ...Array(14).fill({ cause: 'wheel-clogged' }),
      ...Array(22).fill({ cause: 'impeller-film' }).slice(0, 10),
    ]
    const others = ['air-restricted', 'sump-level', 'neck-coated', 'something of their own']
    const model = modelOf(skimmer, { tankKind: 'reef' }, [
      ...cases,
      ...others.flatMap((cause) => Array(4).fill({ cause })),
    ])
    expect(model.causes.reduce((sum, { seen = 0 }) => sum + seen, 0)).toBe(40)
    expect(model.causes.find(({ slug }) => slug === 'wheel-clogged')?.seen).toBe(14)
    expect(model.causes.find(({ slug }) => slug === NOT_FOUND)?.seen).toBe(4)
    expect(rankCauses(model)[0]?.cause).toBe('wheel-clogged')
    // (1.8 + 14) / (10 + 40)
    expect(rankCauses(model)[0]?.probability).toBeCloseTo(15.8 / 50, 9)
  })
})

test.each(faultFamilies.map((family) => [family.slug, family] as const))(
  '%s: whatever is answered, there is a next step until the honest end',
  (_, family) => {
    const random = seededRandom(9)
    const model = modelOf(family)
    const program = programOf(model)
    const faults = drawFaults(model, 40, random)
    // Answers that have nothing to do with the cause: the way must still come to its end.
    for (const fault of faults) {
      const answers = Object.fromEntries(
        model.checks.map(({ slug, answers: given }) => [slug, given[Math.floor(random() * given.length)]?.slug ?? '']),
      )
      expect(minutesToCure(model, program, { ...fault, answers })).toBeLessThan(400)
    }
    expect(minutesToCure(model, program, { cause: NOT_FOUND, answers: faults[0]?.answers ?? {} })).toBeGreaterThan(10)
  },
)

/** Causes beyond the likeliest seven are left out where all situations together are too many. */
function boundedModel(slug: string, most: number) {
  const family = findFamily(slug)
  if (!family) throw new Error(`${slug} is missing`)
  const kept = [...family.causes].sort((one, other) => other.sharePercent - one.sharePercent).slice(0, most)
  const causes = [...kept.filter(({ last }) => !last), ...family.causes.filter(({ last }) => last)]
  return modelOf(
    {
      ...family,
      causes,
      checks: family.checks.map((check) => ({
        ...check,
        hits: Object.fromEntries(
          Object.entries(check.hits ?? {}).filter(([one]) => causes.some((cause) => cause.slug === one)),
        ),
      })),
    },
    { tankKind: family.tankKinds?.[0] ?? 'reef' },
  )
}

/** The tables that are worked out in full, with the most causes at which every situation can still be gone through. */
const FULL_TABLES = [
  ['skimmer-unsteady', 7],
  ['return-flow-low', 9],
  ['skimmer-overflows', 9],
  ['temperature-low', 9],
  ['temperature-high', 9],
  ['water-on-the-floor', 9],
  ['fish-breathing-fast', 9],
  ['salinity-low', 9],
  ['salinity-high', 9],
  ['top-up-often', 9],
  ['cloudy-water', 9],
] as const
const FULL = FULL_TABLES.map(([slug]) => slug)

describe('1,000 faults of stated truth in each family', () => {
  test.each(FULL_TABLES)(
    '%s (%d causes): mean time to cure within 3 %% of dynamic programming, no slower than its checklist',
    (slug, most) => {
      const model = boundedModel(slug, most)
      const random = seededRandom(2026)
      const faults = drawFaults(model, 1000, random)
      const meanOf = (policy: Policy) =>
        faults.reduce((sum, fault) => sum + minutesToCure(model, policy, fault), 0) / faults.length
      const [best, program, checklist] = [
        meanOf(exactPlan(model).stepAt),
        meanOf(programOf(model)),
        meanOf(checklistOf(model)),
      ]
      expect(program / best).toBeLessThan(1.03)
      expect(program).toBeLessThanOrEqual(checklist * 1.001)
    },
  )
})

test('looks blunter than the tables say (0.7): a tenth more time at most than for somebody who knew, and still ahead of the checklist', () => {
  const random = seededRandom(4)
  let [program, knowing, checklist] = [0, 0, 0]
  for (const slug of FULL) {
    const family = findFamily(slug)
    if (!family) throw new Error(`${slug} is missing`)
    const model = modelOf(family, { tankKind: family.tankKinds?.[0] ?? 'reef' })
    const truth = { ...model, checks: model.checks.map((check) => ({ ...check, hit: 0.7, hits: {} })) }
    const [believing, informed, listed] = [programOf(model), programOf(truth), checklistOf(truth)]
    for (const fault of drawFaults(truth, 500, random)) {
      program += minutesToCure(truth, believing, fault)
      knowing += minutesToCure(truth, informed, fault)
      checklist += minutesToCure(truth, listed, fault)
    }
  }
  expect(program / knowing).toBeLessThan(1.1)
  expect(checklist / program).toBeGreaterThan(1.05)
})
