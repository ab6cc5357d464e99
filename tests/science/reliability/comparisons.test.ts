import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  exposureUntilLower,
  fisherExactUpper,
  mantelHaenszel,
  poissonChangePoint,
  poissonRateRatio,
  rankSumTest,
  seededRandom,
} from '@/lib/science'
import { betaQuantile, incompleteBeta } from '@/lib/science/special-functions'
import { expectRelative } from '../close-to'

describe('ratio of two Poisson rates', () => {
  test('lung cancer in Fredericia beside three other Danish cities: 1.971488 (0.858426 to 4.277266)', () => {
    // Data eba1977 (Andersen 1977) in the example of R's help page poisson.test; figures printed by R 4.2.
    const found = poissonRateRatio({ count: 11, exposure: 800 }, { count: 21, exposure: 3011 }, 0.95)
    expectRelative(found.ratio ?? 0, 1.971488, 1e-6)
    expectRelative(found.lower, 0.8584264, 1e-6)
    expectRelative(found.upper, 4.2772659, 1e-6)
  })

  test('no events: on one side the limit is open, on both nothing is known', () => {
    const none = { count: 0, exposure: 3 }
    expect(poissonRateRatio(none, none, 0.9)).toEqual({ ratio: null, lower: 0, upper: Infinity, pLower: 1 })
    expect(poissonRateRatio({ count: 2, exposure: 1 }, none, 0.9)).toMatchObject({ ratio: Infinity, upper: Infinity })
    // P(no event among 4 falls in the half watched) = 1/16.
    expectRelative(poissonRateRatio(none, { count: 4, exposure: 3 }, 0.9).pLower, 1 / 16, 1e-12)
  })

  test('turned round, the limits are the reciprocals', () => {
    const sample = fc.record({
      count: fc.integer({ min: 0, max: 400 }),
      exposure: fc.double({ min: 0.01, max: 1e4, noNaN: true }),
    })
    fc.assert(
      fc.property(sample, sample, (one, other) => {
        const there = poissonRateRatio(one, other, 0.9)
        const back = poissonRateRatio(other, one, 0.9)
        expectRelative(there.lower, 1 / back.upper, 1e-9)
        if (there.ratio !== null) expect(there.lower <= there.ratio && there.ratio <= there.upper).toBe(true)
      }),
    )
  })

  test('refuses what is no count or exposure', () => {
    expect(() => poissonRateRatio({ count: 1.5, exposure: 1 }, { count: 1, exposure: 1 }, 0.9)).toThrow(/first count/)
    expect(() => poissonRateRatio({ count: 1, exposure: 0 }, { count: 1, exposure: 1 }, 0.9)).toThrow(/exposure/)
    expect(() => poissonRateRatio({ count: 1, exposure: 1 }, { count: 1, exposure: 1 }, 1)).toThrow(/level/)
  })

  test('how much longer until it is sure: after that much, and not a little before, the test says so', () => {
    const before = { count: 9, exposure: 3 }
    const more = exposureUntilLower({ count: 0, exposure: 0.2 }, before, 0.05)
    const p = (exposure: number) => poissonRateRatio({ count: 0, exposure }, before, 0.9).pLower
    expect(p(0.2 + more)).toBeLessThanOrEqual(0.05)
    expect(p(0.2 + more - 3 / 200)).toBeGreaterThan(0.05)
    expect(exposureUntilLower({ count: 6, exposure: 2 }, before, 0.05)).toBe(Infinity)
    expect(exposureUntilLower({ count: 0, exposure: 50 }, before, 0.05)).toBe(0)
  })
})

describe('a change of rate', () => {
  // British coal-mining disasters by year, 1851 to 1962: Jarrett 1979, Biometrika 66: 191–193 (as in R's boot::coal, from memory and compared with it).
  const disasters = [
    4, 5, 4, 1, 0, 4, 3, 4, 0, 6, 3, 3, 4, 0, 2, 6, 3, 3, 5, 4, 5, 3, 1, 4, 4, 1, 5, 5, 3, 4, 2, 5, 2, 2, 3, 4, 2, 1, 3,
    2, 2, 1, 1, 1, 1, 3, 0, 0, 1, 0, 1, 1, 0, 0, 3, 1, 0, 3, 2, 2, 0, 1, 1, 1, 0, 1, 0, 1, 0, 0, 0, 2, 1, 0, 0, 0, 1, 1,
    0, 2, 3, 3, 1, 1, 2, 1, 1, 1, 1, 2, 3, 3, 0, 0, 0, 1, 4, 0, 0, 0, 1, 0, 0, 0, 0, 0, 1, 0, 0, 1, 0, 1,
  ]

  test('coal-mining disasters fell from about 3.1 to 0.9 a year after 41 years, at the end of 1891', () => {
    // Carlin, Gelfand & Smith 1992, Appl. Stat. 41: 389–405: likeliest after 41 years, rates about 3.1 and 0.9. Raftery & Akman 1986,
    // Biometrika 73: 85–89: between 1887 and 1895.
    expect(disasters.reduce((sum, count) => sum + count, 0)).toBe(191)
    const cells = disasters.map((count) => ({ count, exposure: 1 }))
    const found = poissonChangePoint(cells, { simulations: 499, random: seededRandom(1) })
    expect(found?.at).toBe(41)
    expect(found?.before.rate).toBeCloseTo(3.1, 1)
    expect(found?.after.rate).toBeCloseTo(0.9, 1)
    expect(found?.pValue).toBe(1 / 500)
  })

  test('without a change it is named at most as often as its level says', () => {
    // Stated truth: a constant rate, uneven exposures. 400 histories at 0.05: 20 expected, standard error 4.4.
    const random = seededRandom(77)
    let named = 0
    for (let run = 0; run < 400; run++) {
      const cells = Array.from({ length: 30 }, () => {
        const exposure = 0.05 + random()
        return { count: random() < 1 - Math.exp(-0.5 * exposure) ? 1 : 0, exposure }
      })
      const found = poissonChangePoint(cells, { simulations: 99, random })
      if (found && found.pValue <= 0.05) named++
    }
    expect(named).toBeLessThanOrEqual(33)
  })

  test('too little to say anything is an answer or an error in words', () => {
    const random = seededRandom(2)
    expect(
      poissonChangePoint(
        [
          { count: 1, exposure: 1 },
          { count: 0, exposure: 1 },
        ],
        { simulations: 9, random },
      ),
    ).toBeNull()
    expect(() => poissonChangePoint([{ count: 1, exposure: 1 }], { simulations: 9, random })).toThrow(/2 stretches/)
    expect(() => poissonChangePoint([{ count: 1, exposure: 0 }], { simulations: 9, random })).toThrow(/exposure/)
  })
})

describe('rank sums', () => {
  test('permeability of the human chorioamnion: W = 35, one-sided 0.1272', () => {
    // Hollander & Wolfe 1973, Nonparametric Statistical Methods, p. 69 f., as in R's help page wilcox.test.
    const term = [0.8, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46]
    const early = [1.15, 0.88, 0.9, 0.74, 1.21]
    const found = rankSumTest(term, early)
    expect(found.statistic).toBe(35)
    expect(found.pHigher).toBeCloseTo(0.1272, 4)
    expect(found.exact).toBe(true)
  })

  test('ties: the permutation distribution counted out by hand', () => {
    // Mid-ranks 1, 2.5, 2.5, 4: the six pairs sum to 3.5, 3.5, 5, 5, 6.5, 6.5 and none below 3.5, which is ours.
    expect(rankSumTest([1, 2], [2, 3]).pLower).toBeCloseTo(2 / 6, 12)
    expect(rankSumTest([5, 5], [5, 5, 5]).pValue).toBe(1)
  })

  test('many values: the normal law agrees with the count within a hundredth', () => {
    const random = seededRandom(5)
    const draw = (n: number, shift: number) => Array.from({ length: n }, () => Math.round(20 * (random() + shift)))
    const [one, other] = [draw(24, 0.15), draw(26, 0)]
    const counted = rankSumTest(one, other)
    const normal = rankSumTest([...one, 8], other)
    expect([counted.exact, normal.exact]).toEqual([true, false])
    expect(Math.abs(counted.pHigher - normal.pHigher)).toBeLessThan(0.02)
  })
})

describe('two-by-two tables', () => {
  test('the lady tasting tea: 3 of 4 right 17/70, all right 1/70', () => {
    // Fisher 1935, The Design of Experiments, ch. 2.
    expect(fisherExactUpper({ withBoth: 3, factorOnly: 1, outcomeOnly: 1, neither: 3 })).toBeCloseTo(17 / 70, 12)
    expect(fisherExactUpper({ withBoth: 4, factorOnly: 0, outcomeOnly: 0, neither: 4 })).toBeCloseTo(1 / 70, 12)
  })

  test('convictions of like-sex twins: 0.0004652', () => {
    // Fisher 1962, in R's help page fisher.test: 10 of 13 monozygotic and 2 of 17 dizygotic twins convicted.
    expect(fisherExactUpper({ withBoth: 10, factorOnly: 3, outcomeOnly: 2, neither: 15 })).toBeCloseTo(0.0004652, 7)
  })

  test('admissions at Berkeley over six departments: 0.9046968 (0.7719074 to 1.0603298)', () => {
    // Bickel, Hammel & O'Connell 1975, Science 187: 398–404; figures printed by R 4.2, mantelhaen.test(UCBAdmissions).
    const departments = [
      [512, 89, 313, 19],
      [353, 17, 207, 8],
      [120, 202, 205, 391],
      [138, 131, 279, 244],
      [53, 94, 138, 299],
      [22, 24, 351, 317],
    ].map(([withBoth = 0, factorOnly = 0, outcomeOnly = 0, neither = 0]) => ({
      withBoth,
      factorOnly,
      outcomeOnly,
      neither,
    }))
    const found = mantelHaenszel(departments, 0.95)
    expectRelative(found?.oddsRatio, 0.9046968, 1e-6)
    expectRelative(found?.lower, 0.7719074, 1e-6)
    expectRelative(found?.upper, 1.0603298, 1e-6)
    expect(found?.strata).toBe(6)
    // Mantel–Haenszel X-squared = 1.4269, df = 1, p-value = 0.2323: as printed by the same call, from memory.
    expect(found?.pValue).toBeCloseTo(0.2323, 4)
  })

  test('tables with an empty side say nothing', () => {
    expect(mantelHaenszel([{ withBoth: 3, factorOnly: 2, outcomeOnly: 0, neither: 0 }], 0.9)).toBeNull()
    expect(mantelHaenszel([{ withBoth: 3, factorOnly: 0, outcomeOnly: 0, neither: 4 }], 0.9)).toMatchObject({
      oddsRatio: Infinity,
    })
  })

  test('where one finds none and the other many, the limit there is comes from the exact distribution', () => {
    const apart = { withBoth: 24, factorOnly: 48, outcomeOnly: 0, neither: 72 }
    const found = mantelHaenszel([apart], 0.95)
    expect(found?.pValue).toBeLessThan(1e-6)
    // One table: fisher.test(matrix(c(24, 0, 48, 72), 2)) in R 4.2 gives 95 percent confidence interval 8.2 to Inf; here by the sum itself.
    const odds = found?.lower ?? 0
    const choose = (n: number, k: number) =>
      Array.from({ length: k }, (_, i) => (n - i) / (i + 1)).reduce((product, factor) => product * factor, 1)
    const term = (a: number) => choose(72, a) * choose(72, 24 - a) * odds ** a
    const all = Array.from({ length: 25 }, (_, a) => term(a)).reduce((sum, x) => sum + x, 0)
    expect(term(24) / all).toBeCloseTo(0.025, 8)
    expect(found).toMatchObject({ oddsRatio: Infinity, upper: Infinity })
    const turned = mantelHaenszel([{ withBoth: 0, factorOnly: 72, outcomeOnly: 24, neither: 48 }], 0.95)
    expect(turned?.upper).toBeCloseTo(1 / odds, 10)
    expect(turned).toMatchObject({ oddsRatio: 0, lower: 0 })
  })
})

test('the quantile of the beta distribution gives back its probability, down to tiny ones', () => {
  const shape = fc.double({ min: 1, max: 500, noNaN: true })
  fc.assert(
    fc.property(shape, shape, fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true }), (a, b, probability) => {
      expectRelative(incompleteBeta(a, b, betaQuantile(probability, a, b)), probability, 1e-8)
    }),
  )
  expectRelative(betaQuantile(1e-12, 1, 4), 2.5e-13, 1e-9) // 1 − (1 − x)⁴
})
