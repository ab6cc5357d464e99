import { incompleteGamma } from './gamma'

/**
 * Both tails of the chi-square distribution: lower = P(X ≤ statistic), upper = P(X ≥ statistic).
 * Domain: degreesOfFreedom > 0, statistic ≥ 0. Errors: RangeError otherwise. Source: DLMF 8.2.4 with a = df / 2, x = statistic / 2.
 * @example chiSquareTails(3.841459, 1).upper // 0.05
 */
export function chiSquareTails(statistic: number, degreesOfFreedom: number): { lower: number; upper: number } {
  return incompleteGamma(degreesOfFreedom / 2, statistic / 2)
}
