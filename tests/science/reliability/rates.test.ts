import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  benjaminiHochberg,
  gammaQuantile,
  likeliestSpread,
  poissonRateInterval,
  poissonUpperTail,
  probabilityAbove,
  rateUnder,
} from '@/lib/science'
import { POISSON_LIMITS } from '../../reference/poisson-limits'
import { expectAllRelative, expectRelative } from '../close-to'
import { PUMPS } from './pumps'

describe('exact Poisson', () => {
  test('interval of a count of 25: 90 % 17.38–34.92, 95 % 16.18–36.90, 99 % 14.00–41.00 (GraphPad FAQ), of 0: up to 3.689 (epitools)', () => {
    const printed: [number, number, number][] = [
      [0.9, 17.38, 34.92],
      [0.95, 16.18, 36.9],
      [0.99, 14, 41],
    ]
    for (const [level, lower, upper] of printed) {
      const interval = poissonRateInterval(25, 1, level)
      expect(Math.abs(interval.lower - lower)).toBeLessThan(0.006)
      expect(Math.abs(interval.upper - upper)).toBeLessThan(0.006)
    }
    expect(poissonRateInterval(0, 1, 0.95)).toMatchObject({ rate: 0, lower: 0 })
    expectRelative(poissonRateInterval(0, 600, 0.95).upper, -Math.log(0.025) / 600, 1e-13)
    expectRelative(poissonRateInterval(0, 600, 0.9).upper, 0.00499288712259, 1e-11)
  })

  // Garwood 1936, Biometrika 28: 437–442; digits from R qgamma.
  test('the whole table of limits', () => {
    expect(POISSON_LIMITS.columns.map(({ level }) => level)).toEqual([0.9, 0.95, 0.99])
    for (const { level, ...column } of POISSON_LIMITS.columns) {
      const limits = POISSON_LIMITS.counts.map((count) => poissonRateInterval(count, 1, level))
      expectAllRelative(
        limits.map(({ lower }) => lower),
        column.lower,
        1e-10,
      )
      expectAllRelative(
        limits.map(({ upper }) => upper),
        column.upper,
        1e-10,
      )
    }
  })

  test('upper tail: cumulative Poisson table at mean 4 (Stevenson, Operations Management 14e, appendix B table C)', () => {
    const table = [0.018, 0.092, 0.238, 0.433, 0.629, 0.785]
    table.forEach((below, k) => {
      expect(Math.abs(1 - poissonUpperTail(k + 1, 4) - below)).toBeLessThan(0.0006)
    })
    expect(poissonUpperTail(0, 3)).toBe(1)
    expect(poissonUpperTail(2, 0)).toBe(0)
    // Far out: P(X ≥ 30) at mean 1 by its leading terms, e^−1 (1/30! + 1/31! + 1/32! + …).
    let term = Math.exp(-1)
    for (let k = 1; k <= 30; k++) term /= k
    expectRelative(
      poissonUpperTail(30, 1),
      term * (1 + 1 / 31 + 1 / (31 * 32) + 1 / (31 * 32 * 33) + 1 / (31 * 32 * 33 * 34)),
      1e-7,
    )
  })

  test.each([-1, 1.5, Number.NaN])('refuses a count of %d', (count) => {
    expect(() => poissonRateInterval(count, 1, 0.9)).toThrow(RangeError)
    expect(() => poissonUpperTail(count, 1)).toThrow(RangeError)
  })
})

describe('likeliestSpread', () => {
  // Gaver & O'Muircheartaigh 1987, Technometrics 29: 1–15 (pumps); marginal maximum likelihood in R, re-verified with scipy. The pair 0.82 and 1.27 in circulation has a rate 1 % off.

  test('ten pumps: alpha and beta, and each rate under them', () => {
    const fit = likeliestSpread(PUMPS)
    if (!fit) throw new Error('the pumps differ')
    expectRelative(fit.alpha, 0.8222686497, 1e-8)
    expectRelative(fit.beta, 1.258954443, 1e-8)
    const rates = PUMPS.map((pump) => rateUnder([{ ...fit, weight: 1 }], pump))
    expectAllRelative(
      rates.map(({ mean }) => mean),
      [
        0.06091580185, 0.1073251392, 0.09077585845, 0.1166933606, 0.5881359352, 0.6062049685, 0.7899023125,
        0.7899023125, 1.437357416, 1.944148328,
      ],
      1e-8,
    )
    const uppers = rates.map((rate) => gammaQuantile(rate, 0.975))
    expectAllRelative(
      uppers,
      [
        0.119457555, 0.309790428, 0.178013943, 0.183173237, 1.30773423, 0.900759402, 2.28002663, 2.28002663, 2.97574069,
        2.81915955,
      ],
      1e-8,
    )
    rates.forEach((rate, i) => {
      expectRelative(probabilityAbove(rate, uppers[i] ?? 0), 0.025, 1e-9)
    })
  })

  test('counts that vary less than chance, all zeros, one unit: no over-dispersion is said, and no huge alpha passes for a finding', () => {
    expect(likeliestSpread([4, 5, 6, 5, 4, 6].map((count) => ({ count, exposure: 10 })))).toBeNull()
    expect(likeliestSpread([4, 1].map((exposure) => ({ count: 0, exposure })))).toBeNull()
    expect(likeliestSpread([{ count: 7, exposure: 2 }])).toBeNull()
    expect(() => likeliestSpread([])).toThrow(RangeError)
  })

  test('any counts: numbers come out', () => {
    const unit = fc.record({
      count: fc.integer({ min: 0, max: 300 }),
      exposure: fc.double({ min: 1e-6, max: 1e6, noNaN: true }),
    })
    fc.assert(
      fc.property(fc.array(unit, { minLength: 1, maxLength: 12 }), (random) => {
        const fit = likeliestSpread(random)
        if (fit) expect([fit.alpha, fit.beta].every((value) => Number.isFinite(value) && value > 0)).toBe(true)
      }),
      { numRuns: 300, seed: 9 },
    )
  })

  test('no other dispersion and mean are more likely, by the negative binomial written out', () => {
    const logLikelihood = (alpha: number, beta: number) =>
      PUMPS.reduce((sum, { count, exposure }) => {
        let rising = 0
        for (let j = 0; j < count; j++) rising += Math.log((alpha + j) / (j + 1))
        return (
          sum + rising + alpha * Math.log(beta / (beta + exposure)) + count * Math.log(exposure / (beta + exposure))
        )
      }, 0)
    const { alpha, beta } = likeliestSpread(PUMPS) ?? { alpha: 0, beta: 0 }
    expectRelative(logLikelihood(alpha, beta), -32.263067045, 1e-10)
    for (const [a, b] of [
      [1.01, 1],
      [0.99, 1],
      [1, 1.01],
      [1, 0.99],
    ] as const) {
      expect(logLikelihood(alpha * a, beta * b)).toBeLessThan(logLikelihood(alpha, beta))
    }
  })
})

test('benjaminiHochberg: the 15 comparisons of Benjamini & Hochberg 1995, section 3.2: the first four are rejected (R p.adjust)', () => {
  const p = [
    0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262, 0.5719, 0.6528, 0.759, 1,
  ]
  const { rejected, adjusted } = benjaminiHochberg([...p].reverse(), 0.05)
  expect(rejected.reverse()).toEqual(p.map((_, i) => i < 4))
  expectAllRelative(
    adjusted.reverse(),
    [
      0.0015, 0.003, 0.0095, 0.035625, 0.0603, 0.0638571428571, 0.0638571428571, 0.0645, 0.0765, 0.486, 0.581181818182,
      0.714875, 0.753230769231, 0.813214285714, 1,
    ],
    1e-11,
  )
  expect(benjaminiHochberg([], 0.05)).toEqual({ rejected: [], adjusted: [] })
  expect(() => benjaminiHochberg([0.5, 1.1], 0.05)).toThrow(/p-value 2/)
})
