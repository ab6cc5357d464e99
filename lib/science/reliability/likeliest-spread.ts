import { logGamma } from '@/lib/science/special-functions'
import { checkCount, checkExposure } from './poisson-rate'
import type { CountedUnit as Unit } from './rate-spread'

/**
 * The likeliest Gamma(alpha, beta) behind the rates of units (count ~ Poisson(rate · exposure)), by marginal, that is negative binomial, maximum likelihood; null where the likelihood rises
 * without end in alpha: the counts vary no more than Poisson counts would, and no unit may be called different. `fitRateSpread` holds besides that nobody knows alpha and beta.
 * Errors: RangeError on bad input. Source: Gaver & O'Muircheartaigh 1987, Technometrics 29: 1–15; George, Makov & Smith 1993, Scand. J. Stat. 20: 147–156.
 * @example likeliestSpread([{ count: 5, exposure: 94.3 }, { count: 22, exposure: 10.5 }])?.alpha
 */
export function likeliestSpread(units: readonly Unit[]): { alpha: number; beta: number } | null {
  if (units.length === 0) throw new RangeError('at least one unit is needed')
  for (const { count, exposure } of units) {
    checkCount(count)
    checkExposure(exposure)
  }
  const total = units.reduce((sum, { count }) => sum + count, 0)
  const exposure = units.reduce((sum, unit) => sum + unit.exposure, 0)
  const spread = fitSpread(units, total / exposure)
  if (!spread) return null
  const alpha = 1 / spread.dispersion
  return { alpha, beta: alpha / spread.mean }
}

/**
 * Dispersion 1/alpha and mean rate alpha/beta of highest marginal likelihood, or null when no dispersion above 0 beats Poisson.
 * The profile over log dispersion is scanned (it need not have one hump) and the best stretch closed in by golden section, then by its slope.
 */
function fitSpread(units: readonly Unit[], pooledRate: number): { dispersion: number; mean: number } | null {
  if (pooledRate === 0 || units.length < 2) return null
  const profile = (log: number) => {
    const dispersion = Math.exp(log)
    const mean = bestMean(units, dispersion, pooledRate)
    return marginalGain(units, dispersion, mean, pooledRate)
  }
  const step = 0.5
  let best = -30
  let bestValue = 0
  for (let log = -16; log <= 12; log += step) {
    const value = profile(log)
    if (value > bestValue) {
      best = log
      bestValue = value
    }
  }
  if (bestValue <= 1e-9) return null
  let low = best - step
  let high = best + step
  // Root of the slope by central differences would lose digits; the exact slope is cheap.
  for (let i = 0; i < 100; i++) {
    const middle = (low + high) / 2
    if (middle <= low || middle >= high) break
    const dispersion = Math.exp(middle)
    if (dispersionSlope(units, dispersion, bestMean(units, dispersion, pooledRate)) > 0) low = middle
    else high = middle
  }
  const dispersion = Math.exp((low + high) / 2)
  return { dispersion, mean: bestMean(units, dispersion, pooledRate) }
}

/** For a given dispersion d the best mean m solves Σ (y − m t) / (1 + d m t) = 0, whose left side falls in m. */
function bestMean(units: readonly Unit[], dispersion: number, pooledRate: number): number {
  const slope = (mean: number) =>
    units.reduce((sum, { count, exposure }) => sum + (count - mean * exposure) / (1 + dispersion * mean * exposure), 0)
  let low = pooledRate
  let high = pooledRate
  while (slope(low) < 0 && low > 1e-300) low /= 2
  while (slope(high) > 0 && high < 1e300) high *= 2
  for (let i = 0; i < 200; i++) {
    const middle = (low + high) / 2
    if (middle <= low || middle >= high) break
    if (slope(middle) > 0) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/** Marginal log-likelihood at (dispersion, mean) minus that of one common Poisson rate; the part common to both is left out. */
function marginalGain(units: readonly Unit[], dispersion: number, mean: number, pooledRate: number): number {
  const alpha = 1 / dispersion
  let sum = 0
  for (const { count, exposure } of units) {
    const expected = mean * exposure
    // log Γ(α + y) − log Γ(α) − y log α = Σ log(1 + j / α), term by term for small counts, where the difference would cancel.
    let rising = 0
    if (count <= 200) for (let j = 1; j < count; j++) rising += Math.log1p(j * dispersion)
    else rising = logGamma(alpha + count) - logGamma(alpha) - count * Math.log(alpha)
    sum += rising + count * Math.log(expected) - (alpha + count) * Math.log1p(dispersion * expected)
    sum -= count * Math.log(pooledRate * exposure) - pooledRate * exposure
  }
  return sum
}

/** Derivative of the marginal log-likelihood by the dispersion at fixed mean (the mean being at its best, this is the profile's slope). */
function dispersionSlope(units: readonly Unit[], dispersion: number, mean: number): number {
  let sum = 0
  for (const { count, exposure } of units) {
    const x = dispersion * mean * exposure
    for (let j = 1; j < count; j++) sum += j / (1 + j * dispersion)
    sum += Math.log1p(x) / dispersion ** 2 - ((1 / dispersion + count) * mean * exposure) / (1 + x)
  }
  return sum
}
