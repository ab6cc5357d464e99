import { incompleteGamma, logGamma } from '@/lib/science/special-functions'
import type { LifeHistory } from './life-history'
import { checkObservations, type Observation } from './observation'

/** The lives of one tank, laid out for quick evaluation. Logs of ages are relative to a unit of time, so that powers stay in range. */
export type TankData = {
  tank: string
  survived: { weight: number; log: number; entryLog: number }[]
  exactWeight: number
  exactLogSum: number
  /** Events in (lower, upper]; lowerLog −Infinity from age 0; gap = log(upper / lower). */
  intervals: { weight: number; upperLog: number; lowerLog: number; gap: number }[]
  /** Spells of unknown age at first sight: residual life in (lower, upper]. */
  residuals: { lowerLog: number; upperLog: number }[]
  lives: number
  events: number
}

/** Checks the histories of one tank and lays them out. Errors: RangeError in the words of `checkObservations`. */
export function layOutTank(histories: readonly LifeHistory[], unit: number): TankData {
  const data: TankData = {
    tank: histories[0]?.tank ?? '',
    survived: [],
    exactWeight: 0,
    exactLogSum: 0,
    intervals: [],
    residuals: [],
    lives: 0,
    events: 0,
  }
  for (const { observations, unknownAge } of histories) {
    const checked = observations.length > 0 ? checkObservations(observations) : []
    for (const observation of checked) addObservation(data, observation, unit)
    if (!unknownAge) continue
    const { lower, upper } = unknownAge
    if (!(lower >= 0 && upper >= lower && upper > 0 && lower < Infinity)) {
      throw new RangeError(`the spell of unknown age must lie in 0 ≤ lower ≤ upper, got ${lower} to ${upper}`)
    }
    if (lower === 0 && upper === Infinity) continue
    data.lives++
    if (upper < Infinity) data.events++
    data.residuals.push({ lowerLog: Math.log(lower / unit), upperLog: Math.log(upper / unit) })
  }
  return data
}

function addObservation(
  data: TankData,
  { lower, upper, truncatedAt, weight }: Required<Observation>,
  unit: number,
): void {
  data.lives++
  if (lower > truncatedAt) {
    data.survived.push({ weight, log: Math.log(lower / unit), entryLog: Math.log(truncatedAt / unit) })
  }
  if (upper === Infinity) return
  data.events++
  if (lower === upper) {
    data.exactWeight += weight
    data.exactLogSum += weight * Math.log(lower / unit)
  } else {
    const gap = lower > 0 ? Math.log1p((upper - lower) / lower) : Infinity
    data.intervals.push({ weight, upperLog: Math.log(upper / unit), lowerLog: Math.log(lower / unit), gap })
  }
}

/** e^x kept inside the range of numbers. */
const boundedExp = (x: number) => Math.exp(Math.min(x, 700))

/** A tank's lives at one shape: what every log scale shares is worked out once. */
export type TankAtShape = {
  k: number
  exposure: number
  constant: number
  exactWeight: number
  /** H(upper) − H(lower) of the intervals at log scale 0. */
  widths: Float64Array
  weights: Float64Array
  residuals: TankData['residuals']
  logGammaA: number
}

/** Prepares the tank's log-likelihood at shape k: with c = e^(−k m) every cumulative hazard is c times a number kept here. */
export function tankAtShape(data: TankData, k: number): TankAtShape {
  let exposure = 0
  for (const { weight, log, entryLog } of data.survived)
    exposure += weight * (boundedExp(k * log) - boundedExp(k * entryLog))
  const count = data.intervals.length
  const widths = new Float64Array(count)
  const weights = new Float64Array(count)
  for (let i = 0; i < count; i++) {
    const interval = data.intervals[i]
    if (!interval) continue
    const { weight, upperLog, lowerLog, gap } = interval
    widths[i] =
      gap === Infinity ? boundedExp(k * upperLog) : boundedExp(k * lowerLog) * Math.expm1(Math.min(k * gap, 700))
    weights[i] = weight
  }
  const { exactWeight, exactLogSum, residuals } = data
  const constant = exactWeight * Math.log(k) + (k - 1) * exactLogSum
  return {
    k,
    exposure,
    constant,
    exactWeight,
    widths,
    weights,
    residuals,
    logGammaA: residuals.length > 0 ? logGamma(1 / k) : 0,
  }
}

export type LogScaleTerms = { value: number; slope: number; curvature: number }

/** The tank's log-likelihood at log scale m (relative to the unit), with first and second derivative; concave in m. */
export function tankTerms(tank: TankAtShape, m: number): LogScaleTerms {
  const { k, exposure, constant, exactWeight, widths, weights, residuals, logGammaA } = tank
  const c = boundedExp(-k * m)
  let value = constant - c * exposure - k * m * exactWeight
  // Derivatives by −k m, turned into derivatives by m at the end.
  let first = -c * exposure + exactWeight
  let second = -c * exposure
  for (let i = 0; i < widths.length; i++) {
    const weight = weights[i] ?? 1
    const d = Math.max(c * (widths[i] ?? 0), 1e-300)
    const ended = -Math.expm1(-d)
    const q = d > 700 ? 0 : (d * (1 - ended)) / ended // d / (e^d − 1)
    value += weight * (d > 30 ? -Math.exp(-d) : Math.log(ended))
    first += weight * q
    second += weight * (d < 1e-4 ? -d / 2 : q * (1 - d - q))
  }
  let slope = -k * first
  let curvature = k * k * second
  for (const residual of residuals) {
    const here = residualTerm(residual, k, m, logGammaA)
    value += here.value
    slope += here.slope
    curvature += here.curvature
  }
  return { value, slope, curvature }
}

/** `tankTerms(…).value` alone. */
export function tankValue(tank: TankAtShape, m: number): number {
  const { k, exposure, constant, exactWeight, widths, weights, residuals, logGammaA } = tank
  const c = boundedExp(-k * m)
  let value = constant - c * exposure - k * m * exactWeight
  for (let i = 0; i < widths.length; i++) {
    const d = Math.max(c * (widths[i] ?? 0), 1e-300)
    value += (weights[i] ?? 1) * (d > 30 ? -Math.exp(-d) : Math.log(-Math.expm1(-d)))
  }
  for (const residual of residuals) value += residualTerm(residual, k, m, logGammaA).value
  return value
}

/**
 * Forward recurrence: what is left of a life met at a random moment has S_e(t) = ∫ₜ^∞ S / ∫₀^∞ S = Q(1/k, H(t)); its log-likelihood with two derivatives in m.
 * Source: Cox 1962, Renewal Theory, ch. 5.
 */
function residualTerm(
  { lowerLog, upperLog }: { lowerLog: number; upperLog: number },
  k: number,
  m: number,
  logGammaA: number,
) {
  const a = 1 / k
  const lower = boundedExp(k * (lowerLog - m))
  // Γ(1 + a) = a Γ(a)
  if (lowerLog === upperLog) {
    return { value: -lower - m - logGammaA - Math.log(a), slope: k * lower - 1, curvature: -k * k * lower }
  }
  const upper = upperLog === Infinity ? Infinity : boundedExp(k * (upperLog - m))
  const logGammaOfNext = logGammaA + Math.log(a)
  const atLower = incompleteGamma(a, lower, logGammaOfNext)
  const atUpper = incompleteGamma(a, upper, logGammaOfNext)
  const chance = Math.max(lower < a + 1 ? atUpper.lower - atLower.lower : atLower.upper - atUpper.upper, 1e-300)
  const low = residualSlope(lower, k, logGammaA)
  const high = residualSlope(upper, k, logGammaA)
  const slope = (low - high) / chance
  const bend = -k * ((a - lower) * low - (high === 0 ? 0 : (a - upper) * high))
  return { value: Math.log(chance), slope, curvature: bend / chance - slope * slope }
}

/** d Q(1/k, H) / dm = k H^(1/k) e^−H / Γ(1/k); its own derivative by m is −k (1/k − H) times this. */
function residualSlope(h: number, k: number, logGammaA: number): number {
  return h === Infinity || h === 0 ? 0 : k * Math.exp(Math.log(h) / k - h - logGammaA)
}
