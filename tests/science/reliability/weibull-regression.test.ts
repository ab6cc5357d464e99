import { describe, expect, test } from 'vitest'
import {
  fitWeibull,
  fitWeibullRegression,
  NotEstimable,
  sampleLife,
  seededRandom,
  type WeibullRegressionRow,
} from '@/lib/science'
import { expectAllRelative, expectRelative } from '../close-to'

// Days, died (1) or not, ECOG score, treatment: Edmonson et al. 1979, Cancer Treatment Reports 63: 241–247, as data set `ovarian` of R survival; the example of its
// survreg help page. Expected values from R survival 3.5.3 (rel.tolerance 1e-14); robust errors with clusters 1…13, 1…13.
const OVARIAN = [
  [59, 1, 1, 1],
  [115, 1, 1, 1],
  [156, 1, 2, 1],
  [421, 0, 1, 2],
  [431, 1, 1, 1],
  [448, 0, 2, 1],
  [464, 1, 2, 2],
  [475, 1, 2, 2],
  [477, 0, 1, 1],
  [563, 1, 2, 2],
  [638, 1, 2, 1],
  [744, 0, 1, 2],
  [769, 0, 2, 2],
  [770, 0, 1, 2],
  [803, 0, 1, 1],
  [855, 0, 2, 1],
  [1040, 0, 2, 1],
  [1106, 0, 1, 1],
  [1129, 0, 1, 2],
  [1206, 0, 1, 2],
  [1227, 0, 2, 2],
  [268, 1, 2, 1],
  [329, 1, 1, 1],
  [353, 1, 2, 2],
  [365, 1, 1, 2],
  [377, 0, 1, 2],
] as const
const ROWS: WeibullRegressionRow[] = OVARIAN.map(([days, died, score, treatment]) => ({
  lower: days,
  upper: died ? days : Infinity,
  covariates: [1, score, treatment],
}))

describe('fitWeibullRegression', () => {
  test('the ovarian cancer example of R survreg', () => {
    const fit = fitWeibullRegression(ROWS)
    expectAllRelative(fit.coefficients, [6.89669312858295, -0.38504254934998, 0.52864549626134], 1e-9)
    expectAllRelative(fit.standardErrors, [1.177547215555, 0.527001781436, 0.529201901038], 1e-8)
    expectRelative(fit.shape, 1.1313841681737, 1e-9)
    expectRelative(fit.standardErrorLogShape, 0.252213104378, 1e-8)
    expectRelative(fit.logLikelihood, -97.084493168387, 1e-11)
  })

  test('cluster-robust errors of the same example', () => {
    const fit = fitWeibullRegression(ROWS, { cluster: ROWS.map((_, i) => String(i % 13)) })
    expectAllRelative(fit.standardErrors, [0.769943386779, 0.332134240799, 0.361699027719], 1e-7)
    expectRelative(fit.standardErrorLogShape, 0.181334662265, 1e-7)
  })

  test('with an intercept alone it is the plain fit', () => {
    const plain = fitWeibull(ROWS)
    const fit = fitWeibullRegression(ROWS.map((row) => ({ ...row, covariates: [1] })))
    expectRelative(fit.coefficients[0], Math.log(plain.scale), 1e-10)
    expectRelative(fit.standardErrors[0], plain.standardErrors.logScale, 1e-8)
    expectRelative(fit.logLikelihood, plain.logLikelihood, 1e-11)
  })

  test('finds the coefficients behind 3,000 interval-censored lives within four standard errors, in any unit of time', () => {
    const random = seededRandom(17)
    const truth = [4, 0.5, -0.3]
    const rows = Array.from({ length: 3000 }, () => {
      const covariates = [1, 2 * random() - 1, random() < 0.5 ? 1 : 0]
      const scale = Math.exp(covariates.reduce((sum, x, j) => sum + x * (truth[j] ?? 0), 0))
      const every = 5 + 10 * random()
      const seen = Math.floor(sampleLife({ shape: 2, scale }, random) / every) * every
      return seen > 120 ? { lower: 120, upper: Infinity, covariates } : { lower: seen, upper: seen + every, covariates }
    })
    const fit = fitWeibullRegression(rows)
    fit.coefficients.forEach((b, j) => {
      expect(Math.abs(b - (truth[j] ?? 0))).toBeLessThan(4 * (fit.standardErrors[j] ?? 0))
    })
    const large = fitWeibullRegression(
      rows.map((row) => ({ ...row, lower: row.lower * 1e40, upper: row.upper * 1e40 })),
    )
    expectRelative(large.shape, fit.shape, 1e-8)
    expectRelative(large.coefficients[0], (fit.coefficients[0] ?? 0) + 40 * Math.log(10), 1e-9)
    expectRelative(large.coefficients[1], fit.coefficients[1] ?? 0, 1e-7)
  })

  test('says why there is no answer: a group without events, covariates that follow from each other, no covariates', () => {
    const lonely = ROWS.map((row, i) => ({
      ...row,
      upper: i < 5 ? Infinity : row.upper,
      covariates: [1, i < 5 ? 1 : 0],
    }))
    expect(() => fitWeibullRegression(lonely)).toThrow(NotEstimable)
    expect(() => fitWeibullRegression(ROWS.map((row) => ({ ...row, covariates: [1, 2] })))).toThrow(
      /cannot be told apart/,
    )
    expect(() => fitWeibullRegression(ROWS.map((row) => ({ ...row, covariates: [] })))).toThrow(RangeError)
    expect(() => fitWeibullRegression(ROWS.map((row) => ({ ...row, upper: Infinity })))).toThrow(NotEstimable)
    expect(() => fitWeibullRegression(ROWS.map((row, i) => ({ ...row, covariates: i === 3 ? [1] : [1, 2] })))).toThrow(
      /row 4/,
    )
  })
})
