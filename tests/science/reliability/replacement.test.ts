import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { inspectionOptions, sampleLife, type VisitCosts, visitReplacement, type WeibullParameters } from '@/lib/science'
import { shareFailingAt } from '@/lib/science/reliability/delay-time'
import { visitReplacementCost } from '@/lib/science/reliability/visit-replacement'
import { expectRelative } from '../close-to'
import { seededRandom } from '../seeded-random'

// Barlow & Proschan 1965, Mathematical Theory of Reliability, ch. 4; numbers from R cross-checked with 30-digit mpmath. The first case is also printed by
// the documentation of the Python package reliability (493.19, from a coarse grid search).
// shape, scale, planned, failure, age, cost rate, cost rate of running to failure
const AGE: [number, number, number, number, number, number, number][] = [
  [2.5, 1000, 1, 5, 493.046957597, 0.00346204273879, 0.00563530248993],
  [2, 12, 1, 4, 7.12652450286, 0.296938520953, 0.376126389032],
  [3, 18, 20, 100, 9.04697247785, 3.36821856028, 6.22136956512],
  [1.5, 24, 50, 300, 13.7703201228, 11.8354949221, 13.8466520929],
  [4, 730, 35, 180, 389.572790223, 0.120754243294, 0.272037366079],
  [1.2, 100, 1, 20, 34.6122652205, 0.18440846447, 0.212617609559],
  [3.5, 9, 1, 1.5, 8.65634154347, 0.176410822391, 0.185237221099],
  [1.05, 52, 10, 100, 237.332504699, 1.96063232607, 1.96073706609],
  [1, 24, 10, 100, Infinity, 4.16666666667, 4.16666666667],
  [0.8, 24, 10, 100, Infinity, 3.67754217107, 3.67754217107],
  [3, 24, 100, 100, Infinity, 4.66602717384, 4.66602717384],
  [3, 24, 100, 60, Infinity, 2.79961630431, 2.79961630431],
]

const VISITS: VisitCosts = {
  visitEvery: 14,
  planned: 20,
  found: 35,
  callOut: 140,
  shareReported: 0.3,
  hiddenCostPerDay: 0.8,
}
const LIFE: WeibullParameters = { shape: 2.4, scale: 150 }

/** The policy played out: cost per day over many cycles. The visit clock restarts at each renewal, or (fixedCalendar) visits stay on a grid of days. */
function simulate(
  life: WeibullParameters,
  costs: VisitCosts,
  afterVisits: number,
  cycles: number,
  seed: number,
  fixedCalendar = false,
): { rate: number; error: number } {
  const random = seededRandom(seed)
  const { visitEvery, planned, found, callOut, shareReported, hiddenCostPerDay } = costs
  let now = 0
  let renewedAt = 0
  const outcomes: [cost: number, days: number][] = []
  for (let cycle = 0; cycle < cycles; cycle++) {
    const need = renewedAt + sampleLife(life, random)
    const firstVisit = fixedCalendar ? (Math.floor(renewedAt / visitEvery) + 1) * visitEvery : renewedAt + visitEvery
    const plannedAt = firstVisit + (afterVisits - 1) * visitEvery
    let cost = planned
    if (need > plannedAt) now = plannedAt
    else if (random() < shareReported) {
      now = need
      cost = callOut
    } else {
      now = firstVisit + Math.max(0, Math.ceil((need - firstVisit) / visitEvery)) * visitEvery
      cost = found + hiddenCostPerDay * (now - need)
    }
    outcomes.push([cost, now - renewedAt])
    renewedAt = now
  }
  const total = outcomes.reduce((sum, [cost]) => sum + cost, 0)
  const rate = total / now
  const spread = outcomes.reduce((sum, [cost, days]) => sum + (cost - rate * days) ** 2, 0)
  return { rate, error: Math.sqrt(spread) / now }
}

describe('visitReplacement', () => {
  test.each(AGE.slice(0, 12))(
    'with everything reported and visits close together it is age replacement: shape %d, scale %d',
    (shape, scale, planned, callOut, age, rate) => {
      const visitEvery = scale / 1e5
      const result = visitReplacement(
        { shape, scale },
        { visitEvery, planned, found: 0, callOut, shareReported: 1, hiddenCostPerDay: 0 },
      )
      expectRelative(result.costRate, rate, 1e-8)
      // The cost is flat about its lowest, so the age itself is found less sharply; one visit is the finest step there is.
      if (age === Infinity) expect(result.afterVisits).toBe(Infinity)
      else expect(Math.abs(result.afterVisits * visitEvery - age)).toBeLessThan(1e-3 * age + visitEvery)
    },
  )

  test('with nothing reported and visits close together it is age replacement at the cost of finding', () => {
    const result = visitReplacement(
      { shape: 2, scale: 12 },
      { visitEvery: 12e-5, planned: 1, found: 4, callOut: 99, shareReported: 0, hiddenCostPerDay: 0 },
    )
    expectRelative(result.costRate, 0.296938520953, 1e-4)
  })

  test('agrees with the policy played out, visit clock restarting at each renewal, at its best, at its neighbours and run to failure', () => {
    const best = visitReplacement(LIFE, VISITS)
    expect(best.afterVisits).toBeGreaterThan(1)
    expect(best.afterVisits).toBeLessThan(20)
    const played = simulate(LIFE, VISITS, best.afterVisits, 200_000, 21)
    expect(Math.abs(played.rate - best.costRate)).toBeLessThan(4 * played.error)
    const never = simulate(LIFE, VISITS, 1e9, 200_000, 22)
    expect(Math.abs(never.rate - best.costRateRunToFailure)).toBeLessThan(4 * never.error)
    for (const visits of [best.afterVisits - 1, best.afterVisits + 1, 1]) {
      const other = simulate(LIFE, VISITS, visits, 200_000, 23 + visits)
      expect(other.rate).toBeGreaterThan(best.costRate - 4 * other.error)
    }
  })

  test('on a fixed calendar, where a call-out does not move the next visit, the cost differs (reported, not promised)', () => {
    const settings: [name: string, life: WeibullParameters, costs: VisitCosts][] = [
      ['fortnightly, life of 21 weeks', LIFE, VISITS],
      [
        'six-weekly, life of 17 weeks, most reported',
        { shape: 2.4, scale: 120 },
        { ...VISITS, visitEvery: 42, shareReported: 0.8 },
      ],
      [
        'quarterly, life of 26 weeks, half reported',
        { shape: 3, scale: 182 },
        { ...VISITS, visitEvery: 91, shareReported: 0.5 },
      ],
    ]
    for (const [index, [name, life, costs]] of settings.entries()) {
      const best = visitReplacement(life, costs)
      const visits = best.afterVisits === Infinity ? 1e9 : best.afterVisits
      const fixed = simulate(life, costs, visits, 200_000, 31 + index, true)
      const percent = 100 * (fixed.rate / best.costRate - 1)
      console.info(
        `visitReplacement, ${name}: renew after ${best.afterVisits} visits; a fixed calendar costs ${percent.toFixed(1)} % against the formula`,
      )
      // Beyond this the formula would be the wrong tool for a fixed calendar.
      expect(Math.abs(percent)).toBeLessThan(15)
    }
  })

  test('shape 1 or less: run to failure, also for a mixture of such lives', () => {
    expect(visitReplacement({ shape: 0.8, scale: 100 }, VISITS).afterVisits).toBe(Infinity)
    expect(
      visitReplacement(
        {
          draws: [
            { shape: 1, scale: 100, weight: 1 },
            { shape: 0.7, scale: 30, weight: 2 },
          ],
        },
        VISITS,
      ).afterVisits,
    ).toBe(Infinity)
  })

  test('a mixture of equal lives is that life; answers come for any input, quickly', () => {
    const { draws } = {
      draws: [
        { ...LIFE, weight: 1 },
        { ...LIFE, weight: 5 },
      ],
    }
    expect(visitReplacement({ draws }, VISITS).afterVisits).toBe(visitReplacement(LIFE, VISITS).afterVisits)
    fc.assert(
      fc.property(
        fc.double({ min: 0.15, max: 30, noNaN: true }),
        fc.double({ min: 1e-8, max: 1e8, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 500, noNaN: true }),
        (shape, scale, shareReported, callOut) => {
          const result = visitReplacement({ shape, scale }, { ...VISITS, shareReported, callOut })
          expect(result.afterVisits).toBeGreaterThanOrEqual(1)
          expect(result.costRate).toBeLessThanOrEqual(result.costRateRunToFailure * (1 + 1e-12))
          expect(Number.isFinite(result.costRate)).toBe(true)
        },
      ),
      { numRuns: 300, seed: 8 },
    )
  })
})

// Christer & Waller 1984, J. Oper. Res. Soc. 35: 401–406 and 975–984; closed condition derived, numbers from R cross-checked with mpmath.
// defect rate, mean delay, inspection, defect, failure, interval, cost rate, share failing
const DELAY: [number, number, number, number, number, number, number, number][] = [
  [0.02, 60, 40, 120, 600, 25.7296854852, 5.7477899637, 0.186788066838],
  [0.01, 30, 35, 80, 250, 71.2769516581, 2.34201736192, 0.618220610455],
  [0.05, 14, 25, 60, 400, 7.66971722582, 10.1706146979, 0.23006130079],
  [0.005, 120, 45, 150, 900, 63.8173930068, 2.29672645023, 0.224423874507],
  [0.03, 7, 30, 50, 180, Infinity, 5.4, 1],
  [0.002, 10, 60, 100, 300, Infinity, 0.6, 1],
  [0.1, 20, 5, 10, 100, 5.13009356014, 3.03623762557, 0.11795517017],
]

describe('inspection under the delay-time model', () => {
  test.each(DELAY)(
    'defects %d, delay %d, costs %d %d %d: every %d',
    (defectRate, meanDelay, inspection, defect, failure, interval, costRate, shareFailing) => {
      const truth = { defectRate, meanDelay, weight: 1 }
      const costs = { inspection, defect, failure }
      if (interval === Infinity) {
        // Never: each longer interval is cheaper, down to the cost of letting everything fail.
        const means = inspectionOptions(
          [truth],
          costs,
          [1, 10, 100, 1e4, 1e12].map((times) => times * meanDelay),
        ).map(({ mean }) => mean)
        expect([...means].sort((a, b) => b - a)).toEqual(means)
        expectRelative(means.at(-1), costRate, 1e-9)
        return
      }
      expectRelative(shareFailingAt(interval / meanDelay), shareFailing, 1e-10)
      const [shorter, best, longer] = inspectionOptions([truth], costs, [0.999 * interval, interval, 1.001 * interval])
      expectRelative(best?.mean, costRate, 1e-10)
      expect(shorter?.mean).toBeGreaterThan(best?.mean ?? 0)
      expect(longer?.mean).toBeGreaterThan(best?.mean ?? 0)
    },
  )

  test('short intervals against long delays keep their digits: the share that fails tends to x/2 (verified by numerical integration)', () => {
    for (const x of [1e-12, 1e-9, 1e-6]) expectRelative(shareFailingAt(x), x / 2 - x ** 2 / 6, 1e-12)
    expectRelative(shareFailingAt(0.05), 0.05 / 2 - 0.05 ** 2 / 6 + 0.05 ** 3 / 24 - 0.05 ** 4 / 120, 1e-6)
  })
})

test('the cost curve passes through the recommended number of visits, and no other number is cheaper', () => {
  const life = { shape: 2.4, scale: 240 }
  const costs = { visitEvery: 14, planned: 20, found: 40, callOut: 120, shareReported: 0.1, hiddenCostPerDay: 0.5 }
  const best = visitReplacement(life, costs)
  const costRate = visitReplacementCost(life, costs)
  expect(costRate(best.afterVisits)).toBe(best.costRate)
  for (let visits = 1; visits <= 100; visits++) expect(costRate(visits)).toBeGreaterThanOrEqual(best.costRate)
  expect(costRate(Number.POSITIVE_INFINITY)).toBe(best.costRateRunToFailure)
  for (const wrong of [0, 1.5, Number.NaN]) expect(() => costRate(wrong)).toThrow(RangeError)
})
