import { describe, expect, test } from 'vitest'
import {
  chiSquareTails,
  incompleteBeta,
  incompleteGamma,
  inverseIncompleteGamma,
  logGamma,
  normalCdf,
  normalQuantile,
  studentQuantile,
} from '@/lib/science/special-functions'
import { expectRelative } from './close-to'

// Reference values from SciPy 1.17.1 (scipy.special and scipy.stats, on Cephes and Boost) unless a closed form stands beside them.
describe('special functions', () => {
  test('log gamma: closed forms', () => {
    expectRelative(logGamma(0.5), Math.log(Math.PI) / 2, 1e-14)
    expectRelative(logGamma(5), Math.log(24), 1e-14)
    expectRelative(logGamma(0.1), 2.252712651734206, 1e-14)
    expectRelative(logGamma(1e5), 1051287.7089736538, 1e-14)
  })

  test.each([
    [1, 2, -Math.expm1(-2)],
    [3, 10, 0.9972306042844884],
    [0.5, 0.1, 0.34527915398142306],
    [25, 16.178681847829324, 0.025],
  ])('incomplete gamma P(%d, %d)', (a, x, expected) => {
    expectRelative(incompleteGamma(a, x).lower, expected, 1e-13)
    expectRelative(inverseIncompleteGamma(a, expected, 'lower'), x, 1e-12)
  })

  test('far tails keep their digits: Q(3, 100) = e^−100 (1 + 100 + 5000)', () => {
    expectRelative(incompleteGamma(3, 100).upper, Math.exp(-100) * 5101, 1e-13)
    expectRelative(inverseIncompleteGamma(1, 1e-300, 'upper'), 300 * Math.LN10, 1e-13)
  })

  test('normal: Φ(1.959963984540054) = 0.975, far tail Φ(−10) = 7.619853024160527e−24', () => {
    expectRelative(normalCdf(1.959963984540054), 0.975, 1e-14)
    expectRelative(normalCdf(-10), 7.619853024160527e-24, 1e-13)
    expectRelative(normalQuantile(0.975), 1.959963984540054, 1e-14)
  })

  test('chi-square, Student and beta: standard table values', () => {
    // 5 % points as in any printed table (e.g. NIST/SEMATECH e-Handbook 1.3.6.7): 3.841 with 1 degree of freedom; t 2.228 with 10 (97.5 %).
    expect(chiSquareTails(3.841, 1).upper).toBeCloseTo(0.05, 4)
    expect(studentQuantile(0.975, 10)).toBeCloseTo(2.228, 3)
    expectRelative(studentQuantile(0.95, 1), Math.tan(0.45 * Math.PI), 1e-12)
    expectRelative(incompleteBeta(2, 3, 0.5), 11 / 16, 1e-14)
  })

  test.each([Number.NaN, -1])('refuse %d', (bad) => {
    expect(() => logGamma(bad)).toThrow(RangeError)
    expect(() => incompleteGamma(1, bad)).toThrow(RangeError)
    expect(() => incompleteGamma(bad, 1)).toThrow(RangeError)
    expect(() => inverseIncompleteGamma(1, bad, 'lower')).toThrow(RangeError)
    expect(() => normalQuantile(bad)).toThrow(RangeError)
  })
})
