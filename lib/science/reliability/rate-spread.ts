import type { GammaPart } from './gamma-mixture'
import { checkCount, checkExposure } from './poisson-rate'

/**
 * Prior of how far units differ, as the standard deviation of their rates over the mean rate: log normal, 0.2 to 2 holds 95 %. Common practice, no source.
 */
export const RATE_SPREAD_PRIOR = { median: 0.6, sdOfLog: 0.6 }
/** Gamma shapes at which the spread is looked at: 1 / spread², at even steps of the prior. */
const SPREADS = Array.from({ length: 17 }, (_, i) => {
  const z = (i - 8) * 0.4
  return { alpha: (RATE_SPREAD_PRIOR.median * Math.exp(RATE_SPREAD_PRIOR.sdOfLog * z)) ** -2, logPrior: -(z * z) / 2 }
})
const MEAN_POINTS = 15
const NEGLIGIBLE = 1e-4

export type CountedUnit = { count: number; exposure: number }

/** What the units together say of the Gamma from which their rates come: weighted points (alpha, beta), weights summing to 1. */
export type RateSpread = readonly { alpha: number; beta: number; weight: number }[]

/**
 * Posterior of the Gamma(alpha, beta) behind the rates of units: count ~ Poisson(rate · exposure), a flat prior on the log of the mean rate and `RATE_SPREAD_PRIOR` on how far
 * units differ, on a grid. `mean`: a log-normal prior of the mean rate, where it is known about. No units: the prior spread about a rate of 1.
 * Domain: whole counts, exposures above 0. Errors: RangeError. Source: Gelman et al. 2013, Bayesian Data Analysis, ch. 5.
 * @example fitRateSpread([{ count: 5, exposure: 94.3 }, { count: 22, exposure: 10.5 }])
 */
export function fitRateSpread(
  units: readonly CountedUnit[],
  { mean: ofMean }: { mean?: { median: number; sdOfLog: number } } = {},
): RateSpread {
  for (const { count, exposure } of units) {
    checkCount(count)
    checkExposure(exposure)
  }
  const events = units.reduce((sum, { count }) => sum + count, 0)
  const exposure = units.reduce((sum, unit) => sum + unit.exposure, 0)
  const most = units.reduce((highest, { count }) => Math.max(highest, count), 0)
  const points = SPREADS.flatMap(({ alpha, logPrior }) => {
    if (units.length === 0) return [{ alpha, beta: alpha, log: logPrior }]
    const ofCounts = {
      log: Math.log((events + 0.5) / exposure),
      precision: 1 / (1 / (events + 0.5) + 1 / (alpha * units.length)),
    }
    const ofPrior = ofMean
      ? { log: Math.log(ofMean.median), precision: ofMean.sdOfLog ** -2 }
      : { log: 0, precision: 0 }
    const precision = ofCounts.precision + ofPrior.precision
    const centre = (ofCounts.log * ofCounts.precision + ofPrior.log * ofPrior.precision) / precision
    const reach = 4.5 / Math.sqrt(precision)
    const rising = logRising(alpha, most)
    return Array.from({ length: MEAN_POINTS }, (_, i) => {
      const logMean = centre + reach * ((2 * i) / (MEAN_POINTS - 1) - 1)
      const beta = alpha / Math.exp(logMean)
      const logPriorOfMean = (-ofPrior.precision * (logMean - ofPrior.log) ** 2) / 2
      const log = Math.log(reach) + logPrior + logPriorOfMean + marginal(units, { alpha, beta, rising })
      return { alpha, beta, log }
    })
  })
  const top = Math.max(...points.map(({ log }) => log))
  const weighed = points.map(({ alpha, beta, log }) => ({ alpha, beta, weight: Math.exp(log - top) }))
  const kept = weighed.filter(({ weight }) => weight > NEGLIGIBLE)
  const total = kept.reduce((sum, { weight }) => sum + weight, 0)
  return kept.map((point) => ({ ...point, weight: point.weight / total }))
}

/** The posterior of one unit's rate under a spread, as a mixture of Gammas. A unit that nobody has seen has count and exposure 0. */
export function rateParts(spread: RateSpread, { count, exposure }: CountedUnit): GammaPart[] {
  return spread.map(({ alpha, beta, weight }) => ({ shape: alpha + count, rate: beta + exposure, weight }))
}

/**
 * The posterior of one unit's rate under a spread, as the one Gamma of the same mean and variance: unlike a Gamma at the likeliest alpha and beta it holds that these two are not
 * known. Feed `shape` and `rate` to `probabilityAbove`. Source: Kass & Steffey 1989, J. Am. Stat. Assoc. 84: 717–726 (moments under unknown hyperparameters).
 */
export function rateUnder(spread: RateSpread, unit: CountedUnit): { mean: number; shape: number; rate: number } {
  let mean = 0
  let square = 0
  for (const { shape, rate, weight } of rateParts(spread, unit)) {
    mean += (weight * shape) / rate
    square += (weight * shape * (shape + 1)) / rate ** 2
  }
  const variance = square - mean ** 2
  return { mean, shape: mean ** 2 / variance, rate: mean / variance }
}

/** log of Γ(α + n) / Γ(α) for n = 0, 1, … */
function logRising(alpha: number, most: number): Float64Array {
  const rising = new Float64Array(most + 1)
  for (let n = 0; n < most; n++) rising[n + 1] = (rising[n] ?? 0) + Math.log(alpha + n)
  return rising
}

/** Log of the negative binomial probability of the counts, but for what no parameter changes. */
function marginal(
  units: readonly CountedUnit[],
  { alpha, beta, rising }: { alpha: number; beta: number; rising: Float64Array },
): number {
  const logBeta = Math.log(beta)
  let log = 0
  for (const { count, exposure } of units)
    log += (rising[count] ?? 0) - (alpha + count) * Math.log1p(exposure / beta) - count * logBeta
  return log
}
