import { describe, expect, test } from 'vitest'
import { fitWeibull, NotEstimable, type NotEstimableCode, type Observation } from '@/lib/science'
import { GENERATOR_FANS } from '../../reference/generator-fans'
import { RADIOTHERAPY_COSMESIS } from '../../reference/radiotherapy-cosmesis'
import { expectRelative } from '../close-to'
import { plainLogLikelihood } from './plain-likelihood'

const exact = (...times: number[]): Observation[] => times.map((time) => ({ lower: time, upper: time }))
const good = (...times: number[]): Observation[] => times.map((time) => ({ lower: time, upper: Infinity }))
const between = (...rows: [lower: number, upper: number, weight?: number][]): Observation[] =>
  rows.map(([lower, upper, weight = 1]) => ({ lower, upper, weight }))

/** Standard errors and covariance as R prints them are for log(1/shape); the covariance with log shape has the other sign. */
type Published = {
  shape: number
  scale: number
  logLikelihood: number
  seLogScale: number
  seLogShape: number
  covariance: number
}

const CASES: [source: string, observations: Observation[], expected: Published][] = [
  [
    // NIST/SEMATECH e-Handbook 8.4.1.3: prints scale 606.528, shape 1.7208, log-likelihood 75.135 without its minus sign; further digits from R survival 3.5.3.
    'NIST 8.4.1.3: 10 failures of 20, right-censored',
    [...exact(54, 187, 216, 240, 244, 335, 361, 373, 375, 386), ...good(...Array<number>(10).fill(500))],
    {
      shape: 1.7207972608,
      scale: 606.527558004,
      logLikelihood: -75.1346181645,
      seLogScale: 0.205943908988,
      seLogShape: 0.29181276315,
      covariance: -0.0271278424006,
    },
  ],
  [
    // Abernethy et al. 1983, AFWAL-TR-83-2079; Meeker & Escobar 1998, example 8.16 print scale 11792, shape 2.035 (data from memory; counts sum to the published 1703).
    'Bearing cages: 6 failures of 1703',
    [
      ...exact(230, 334, 423, 990, 1009, 1510),
      ...between(
        [50, Infinity, 288],
        [150, Infinity, 148],
        [250, Infinity, 124],
        [350, Infinity, 111],
        [450, Infinity, 106],
        [550, Infinity, 99],
        [650, Infinity, 110],
        [750, Infinity, 114],
        [850, Infinity, 119],
        [950, Infinity, 127],
        [1050, Infinity, 123],
        [1150, Infinity, 93],
        [1250, Infinity, 47],
        [1350, Infinity, 41],
        [1450, Infinity, 27],
        [1550, Infinity, 11],
        [1650, Infinity, 6],
        [1850, Infinity, 1],
        [2050, Infinity, 2],
      ),
    ],
    {
      shape: 2.03531861011,
      scale: 11792.1781734,
      logLikelihood: -76.436896356,
      seLogScale: 0.835140596803,
      seLogShape: 0.327061769656,
      covariance: -0.265147400276,
    },
  ],
  [
    // Nelson 1982, Applied Life Data Analysis, p. 415, as printed in the SAS/QC User's Guide, PROC RELIABILITY: shape 1.485, scale 71.69.
    'Nelson: 167 parts looked at for cracks on one schedule',
    between(
      [0, 6.12, 5],
      [6.12, 19.92, 16],
      [19.92, 29.64, 12],
      [29.64, 35.4, 18],
      [35.4, 39.72, 18],
      [39.72, 45.24, 2],
      [45.24, 52.32, 6],
      [52.32, 63.48, 17],
      [63.48, Infinity, 73],
    ),
    {
      shape: 1.48536736526,
      scale: 71.6904055615,
      logLikelihood: -309.668408928,
      seLogScale: 0.0743961355002,
      seLogShape: 0.0986564000284,
      covariance: -0.00262285911222,
    },
  ],
  [
    // Constructed; R survival 3.5.3.
    'Six overlapping intervals',
    between([0, 15], [10, 25], [20, 40], [30, 50], [20, 30], [40, Infinity]),
    {
      shape: 2.16632562663,
      scale: 31.9597091658,
      logLikelihood: -7.39775284099,
      seLogScale: 0.216737890097,
      seLogShape: 0.439881684056,
      covariance: 0.0118793406357,
    },
  ],
  [
    // Constructed; R survival 3.5.3, re-verified with scipy.
    'Every kind of censoring together',
    [...exact(120, 95, 210), ...between([0, 60], [90, 140], [180, 240], [150, 220]), ...good(300, 365, 365, 200, 90)],
    {
      shape: 1.37215481833,
      scale: 297.963068723,
      logLikelihood: -30.7947964313,
      seLogScale: 0.284370735213,
      seLogShape: 0.343063975207,
      covariance: -0.0238646423283,
    },
  ],
]

describe('fitWeibull against published fits', () => {
  test.each(CASES)('%s', (_, observations, expected) => {
    const fit = fitWeibull(observations)
    // The references are printed to about twelve digits.
    expectRelative(fit.shape, expected.shape, 1e-9)
    expectRelative(fit.scale, expected.scale, 1e-9)
    expect(Math.abs(fit.logLikelihood - expected.logLikelihood)).toBeLessThan(1e-8)
    expectRelative(fit.standardErrors.logScale, expected.seLogScale, 1e-8)
    expectRelative(fit.standardErrors.logShape, expected.seLogShape, 1e-8)
    expectRelative(fit.covariance[0][1], expected.covariance, 1e-8)
  })

  // Fans: Nelson 1982, p. 318 (70 diesel generator fans; data in R survival::genfan). Cosmesis: Finkelstein & Wolfe 1985, Biometrics 41: 933–945, table 4.
  test.each([
    [
      '70 generator fans',
      [...exact(...GENERATOR_FANS.failedAtHours), ...good(...GENERATOR_FANS.stillRunningAtHours)],
      GENERATOR_FANS.fit,
      70,
    ],
    [
      '46 radiotherapy patients',
      RADIOTHERAPY_COSMESIS.months.map(([lower, upper]) => ({ lower, upper })),
      RADIOTHERAPY_COSMESIS.fit,
      46,
    ],
  ])('%s', (_, observations, expected, count) => {
    expect(observations).toHaveLength(count)
    const fit = fitWeibull(observations)
    expectRelative(fit.shape, expected.shape, 1e-9)
    expectRelative(fit.scale, expected.scale, 1e-9)
    expect(Math.abs(fit.logLikelihood - expected.logLikelihood)).toBeLessThan(1e-8)
    expectRelative(fit.standardErrors.logScale, expected.seLogScale, 1e-8)
    expectRelative(fit.standardErrors.logShape, expected.seLogShape, 1e-8)
  })
})

describe('fitWeibull where closed forms exist', () => {
  test('two exact lives 1 and e², shape from the likelihood equation 1/k = weighted mean log − mean log', () => {
    const { shape, scale } = fitWeibull(exact(1, Math.E ** 2))
    const power = Math.E ** (2 * shape)
    expectRelative(1 / shape, (2 * power) / (1 + power) - 1, 1e-12)
    expectRelative(scale ** shape, (1 + power) / 2, 1e-12)
  })

  test('late entries do not matter where the hazard is constant: doubled waiting before entry leaves an exponential-like fit', () => {
    // Lives beyond entry are the same numbers; with shape 1 the closed form is scale = time at risk / events, and it is never more likely than the fit.
    const late = [2, 5, 9, 14, 30].map((life, i) => ({
      lower: 10 * i + life,
      upper: 10 * i + life,
      truncatedAt: 10 * i,
    }))
    const fit = fitWeibull([...late, { lower: 70, upper: Infinity, truncatedAt: 20 }])
    const timeAtRisk = 2 + 5 + 9 + 14 + 30 + 50
    const exponential = plainLogLikelihood(
      [...late, { lower: 70, upper: Infinity, truncatedAt: 20 }],
      1,
      timeAtRisk / 5,
    )
    expectRelative(exponential, -5 * Math.log(timeAtRisk / 5) - 5, 1e-12)
    expect(fit.logLikelihood).toBeGreaterThanOrEqual(exponential)
  })

  test('a life in an interval so narrow that it is nearly exact gives its density times the width', () => {
    const width = 1e-9
    const lives = [3, 5, 8, 13]
    const fit = fitWeibull(exact(...lives))
    const narrow = fitWeibull(lives.map((life) => ({ lower: life - width / 2, upper: life + width / 2 })))
    expectRelative(narrow.shape, fit.shape, 1e-7)
    expect(narrow.logLikelihood - 4 * Math.log(width)).toBeCloseTo(fit.logLikelihood, 5)
  })

  test('a weight of 3 is three lives', () => {
    const once = fitWeibull([{ lower: 4, upper: 6, weight: 3 }, ...exact(9, 12)])
    const thrice = fitWeibull([...between([4, 6], [4, 6], [4, 6]), ...exact(9, 12)])
    expectRelative(once.shape, thrice.shape, 1e-12)
    expectRelative(once.standardErrors.logShape, thrice.standardErrors.logShape, 1e-10)
  })

  test('each life twice in one cluster leaves the cluster-robust errors as they were, though the plain ones shrink by √2', () => {
    const lives = exact(3, 4, 7, 9, 15, 22)
    const labels = lives.map((_, i) => `tank ${i}`)
    const once = fitWeibull(lives, { cluster: labels })
    const twice = fitWeibull([...lives, ...lives], { cluster: [...labels, ...labels] })
    expectRelative(twice.standardErrors.logScale, once.standardErrors.logScale, 1e-9)
    expectRelative(
      fitWeibull([...lives, ...lives]).standardErrors.logScale * Math.SQRT2,
      fitWeibull(lives).standardErrors.logScale,
      1e-9,
    )
  })
})

describe('fitWeibull says why there is no answer', () => {
  const late = (entry: number, lower: number, upper: number): Observation => ({ lower, upper, truncatedAt: entry })
  const cases: [NotEstimableCode, string, Observation[]][] = [
    ['no-events', 'right-censored lives only (the likelihood has no finite maximum)', good(100, 200, 300)],
    ['shape-unbounded', 'a single exact life', exact(7)],
    ['shape-unbounded', 'equal lives, others good until then', [...exact(7, 7), ...good(7, 3)]],
    ['shape-unbounded', 'intervals that meet in one point only', between([5, 10], [10, 15])],
    [
      'shape-unbounded',
      'found at once or entered just before: a tiny scale explains all',
      [late(5, 5, 10), ...between([0, 3])],
    ],
    ['flat', 'found earlier as often as later', [...between([0, 10], [0, 20]), ...good(10, 20)]],
    ['flat', 'found early, good late', [...between([0, 10]), ...good(20)]],
    [
      'shape-zero',
      'every life entered late and the hazard falls like 1 / t',
      [late(1, 1.1, 1.1), late(1, 1.2, 1.2), late(1, 1.3, 1.3), late(1, 500, 500), late(2, 900, Infinity)],
    ],
  ]
  test.each(cases)('%s: %s', (code, _, observations) => {
    try {
      fitWeibull(observations)
      expect.unreachable('a fit came out where none exists')
    } catch (error) {
      expect(error).toBeInstanceOf(NotEstimable)
      expect(error).toBeInstanceOf(RangeError)
      expect(error instanceof NotEstimable && error.code).toBe(code)
    }
  })

  test('left- and right-censored lives alone can be enough, when more is found later', () => {
    expect(fitWeibull([...between([0, 10], [0, 30], [0, 40]), ...good(10, 20, 30)]).shape).toBeGreaterThan(0)
  })
})

describe('fitWeibull refuses', () => {
  const cases: [string, Observation[]][] = [
    ['nothing', []],
    ['from 0 to without end', [{ lower: 0, upper: Infinity }]],
    ['a life of 0', [{ lower: 0, upper: 0 }]],
    ['upper below lower', [{ lower: 5, upper: 4 }]],
    ['a negative age', [{ lower: -1, upper: 4 }]],
    ['NaN', [{ lower: Number.NaN, upper: 4 }]],
    ['an entry at the end', [{ lower: 2, upper: 4, truncatedAt: 4 }]],
    ['a weight of 0', [{ lower: 2, upper: 4, weight: 0 }]],
    ['an endless weight', [{ lower: 2, upper: 4, weight: Infinity }]],
  ]
  test.each(cases)('%s, with a RangeError that is not NotEstimable', (_, observations) => {
    expect(() => fitWeibull(observations)).toThrow(RangeError)
    expect(() => fitWeibull(observations)).not.toThrow(NotEstimable)
  })

  test('cluster labels that do not fit, or a single cluster', () => {
    expect(() => fitWeibull(exact(1, 2), { cluster: ['a'] })).toThrow(/one cluster label/)
    expect(() => fitWeibull(exact(1, 2), { cluster: ['a', 'a'] })).toThrow(/two clusters/)
  })
})
