import { betaQuantile, incompleteBeta } from '@/lib/science/special-functions'
import { checkCount, checkExposure, checkLevel } from './poisson-rate'

export type RateSample = { count: number; exposure: number }

export type PoissonRateRatio = {
  /** Rate of the first over rate of the second; Infinity where only the first has events, null where neither has. */
  ratio: number | null
  lower: number
  upper: number
  /** One-sided: the chance of so few events in the first, or fewer, were the two rates the same. Small: the first is lower. */
  pLower: number
}

/**
 * Ratio of two Poisson rates, first over second, with its exact two-sided interval. Given the sum of both counts the first is binomial
 * with share ratio · t₁ / (ratio · t₁ + t₂); the Clopper–Pearson limits of that share give those of the ratio.
 * Units: exposures in the same unit. Domain: whole counts, exposures above 0, 0 < level < 1. Errors: RangeError on bad input.
 * Source: Przyborowski & Wilenski 1940, Biometrika 31: 313–323; Clopper & Pearson 1934, Biometrika 26: 404–413.
 * @example poissonRateRatio({ count: 11, exposure: 800 }, { count: 21, exposure: 3011 }, 0.95) // 1.97 (0.86 to 4.28)
 */
export function poissonRateRatio(first: RateSample, second: RateSample, level: number): PoissonRateRatio {
  checkCount(first.count, 'the first count')
  checkCount(second.count, 'the second count')
  checkExposure(first.exposure)
  checkExposure(second.exposure)
  checkLevel(level)
  const tail = (1 - level) / 2
  const perExposure = second.exposure / first.exposure
  return {
    ratio: ratioOf(first, second),
    lower: first.count === 0 ? 0 : perExposure * oddsAt(tail, first.count, second.count + 1),
    upper: second.count === 0 ? Number.POSITIVE_INFINITY : perExposure / oddsAt(tail, second.count, first.count + 1),
    pLower: lowerTail(first, second),
  }
}

/**
 * The same against a rate that is known up to a Gamma distribution of this shape and rate, as one drawn towards others is: the count of the first is negative
 * binomial, and its tails are those of a beta distribution. `ratio` is over the Gamma's mean.
 * Domain: whole count, exposure, shape and rate above 0, 0 < level < 1. Errors: RangeError on bad input.
 * Source: Gamma–Poisson mixture, DLMF 8.17.5 for the tails of whole counts; Gelman et al. 2013, Bayesian Data Analysis, sec. 2.6.
 * @example rateRatioAgainstGamma({ count: 1, exposure: 4 }, { shape: 9, rate: 3 }, 0.9) // few against an expected 12
 */
export function rateRatioAgainstGamma(
  first: RateSample,
  { shape, rate }: { shape: number; rate: number },
  level: number,
): PoissonRateRatio {
  checkCount(first.count, 'the first count')
  checkExposure(first.exposure)
  checkExposure(shape)
  checkExposure(rate)
  checkLevel(level)
  const tail = (1 - level) / 2
  const perExposure = rate / first.exposure
  return {
    ratio: first.count / first.exposure / (shape / rate),
    lower: first.count === 0 ? 0 : perExposure * oddsAt(tail, first.count, shape),
    upper: perExposure / oddsAt(tail, shape, first.count + 1),
    pLower: lowerTail(first, { count: shape, exposure: rate }),
  }
}

function ratioOf(first: RateSample, second: RateSample): number | null {
  if (second.count > 0) return first.count / first.exposure / (second.count / second.exposure)
  return first.count > 0 ? Number.POSITIVE_INFINITY : null
}

/** Odds x / (1 − x) at a quantile of the beta distribution, without losing digits where x is close to 1. */
function oddsAt(tail: number, a: number, b: number): number {
  const share = betaQuantile(tail, a, b)
  return share < 0.5 ? share / (1 - share) : (1 - betaQuantile(1 - tail, b, a)) / betaQuantile(1 - tail, b, a)
}

function lowerTail(first: RateSample, second: RateSample): number {
  if (second.count === 0) return 1
  const share = first.exposure / (first.exposure + second.exposure)
  // P(X ≤ k) of a binomial is the upper part of a beta distribution (DLMF 8.17.5).
  return incompleteBeta(second.count, first.count + 1, 1 - share)
}

/**
 * How much more exposure of the first until its rate is surely below the second's, if events go on coming at its present rate:
 * the smallest addition at which pLower ≤ alpha. The second may also be a Gamma, its shape as count and its rate as exposure. Infinity where that does not happen within `within` times the second's exposure.
 * Domain: as above; the first's exposure may be 0 (nothing seen yet: taken as free of events). Errors: RangeError on bad input.
 * @example exposureUntilLower({ count: 0, exposure: 1 }, { count: 9, exposure: 3 }, 0.05) // 0.18
 */
export function exposureUntilLower(first: RateSample, second: RateSample, alpha: number, within = 50): number {
  checkCount(first.count, 'the first count')
  checkExposure(second.exposure)
  checkLevel(alpha)
  if (!(first.exposure >= 0 && first.exposure < Infinity))
    throw new RangeError(`exposure must be a number of 0 or more, got ${first.exposure}`)
  const rate = first.exposure > 0 ? first.count / first.exposure : 0
  const pAfter = (added: number) => {
    const exposure = first.exposure + added
    if (exposure === 0) return 1
    return lowerTail({ count: first.count + Math.floor(rate * added), exposure }, second)
  }
  // A grid rather than a search for a root: each further event lifts the p-value, so it does not fall steadily.
  const step = second.exposure / 200
  // Without an end in sight (a rate that is no lower in the long run) the whole grid would be asked for nothing.
  if (rate * second.exposure >= second.count) return Number.POSITIVE_INFINITY
  for (let number = 0; number <= 200 * within; number++) {
    if (pAfter(number * step) <= alpha) return number * step
  }
  return Number.POSITIVE_INFINITY
}
