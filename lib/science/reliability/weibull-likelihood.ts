import type { Observation } from './observation'

/**
 * The Weibull log-likelihood in the form in which it is easy to climb.
 *
 * Cumulative hazard H(t) = e^z with z = shape · τ − a, where τ = log(t / unit) and a = shape · log(scale / unit). z is linear in (a, shape), so each
 * term without truncation is concave in them, for exact, interval, left- and right-censored lives alike (the smallest-extreme-value density is log-concave).
 * Every difference of two cumulative hazards is written with expm1, so intervals of any narrowness keep their digits.
 */
export type LikelihoodData = {
  count: number
  /** The time that τ is counted from: an event time from the middle of the data, so that tiny and huge units work alike. */
  unit: number
  weight: Float64Array
  /** 0 right-censored, 1 exact, 2 interval, 3 left-censored. */
  kind: Uint8Array
  /** 1 where the life was under observation before `lower` (lower > truncatedAt). */
  exposed: Uint8Array
  logLower: Float64Array
  logUpper: Float64Array
  /** log(lower / truncatedAt), Infinity without truncation. */
  entryGap: Float64Array
  /** log(upper / lower) of interval-censored lives. */
  eventGap: Float64Array
}

export const RIGHT = 0
export const EXACT = 1
export const INTERVAL = 2
const LEFT = 3

/** log(to / from), exact to the last digits also where both are close. */
export function logRatio(to: number, from: number): number {
  const difference = to - from
  if (Math.abs(difference) < 0.5 * from) return Math.log1p(difference / from)
  const ratio = to / from
  return ratio > 0 && ratio < Infinity ? Math.log(ratio) : Math.log(to) - Math.log(from)
}

/** A time that stands for the event of one observation: the event itself, or a point inside its interval. */
function typicalEventTime({ lower, upper }: Required<Observation>): number {
  return lower > 0 ? Math.sqrt(lower) * Math.sqrt(upper) : upper / 2
}

/** Lays the observations out for the climb. `fixedUnit` keeps the unit of time where a model cannot take a change of it. */
export function prepareLikelihood(observations: readonly Required<Observation>[], fixedUnit?: number): LikelihoodData {
  const count = observations.length
  const events = observations.filter((observation) => observation.upper < Infinity)
  const times = Float64Array.from(events.length > 0 ? events : observations, (observation) =>
    events.length > 0 ? typicalEventTime(observation) : observation.lower,
  ).sort()
  const middle = times[times.length >> 1] ?? 1
  const unit = fixedUnit ?? (middle > 0 ? middle : 1)
  const data: LikelihoodData = {
    count,
    unit,
    weight: new Float64Array(count),
    kind: new Uint8Array(count),
    exposed: new Uint8Array(count),
    logLower: new Float64Array(count),
    logUpper: new Float64Array(count),
    entryGap: new Float64Array(count),
    eventGap: new Float64Array(count),
  }
  observations.forEach(({ lower, upper, truncatedAt, weight }, i) => {
    data.weight[i] = weight
    data.kind[i] = upper === Infinity ? RIGHT : lower === upper ? EXACT : lower === 0 ? LEFT : INTERVAL
    data.exposed[i] = lower > truncatedAt ? 1 : 0
    data.logLower[i] = lower > 0 ? logRatio(lower, unit) : -Infinity
    data.logUpper[i] = upper < Infinity ? logRatio(upper, unit) : Infinity
    data.entryGap[i] = truncatedAt > 0 ? logRatio(lower, truncatedAt) : Infinity
    data.eventGap[i] = lower > 0 && upper < Infinity ? logRatio(upper, lower) : Infinity
  })
  return data
}

/** Where `addTerms` leaves its results: value, first derivatives by a and shape, second derivatives aa, a-shape, shape-shape. */
export type Terms = { value: number; a: number; k: number; aa: number; ak: number; kk: number }

/**
 * Log-likelihood of observation i (weight not applied) at shape k and a, with derivatives, written into `terms`.
 * The value may be −Infinity far from the data; the caller then steps back.
 */
export function observationTerms(data: LikelihoodData, i: number, k: number, a: number, terms: Terms): void {
  let value = 0
  let da = 0
  let dk = 0
  let daa = 0
  let dak = 0
  let dkk = 0
  const kind = data.kind[i]
  if (data.exposed[i] === 1) {
    // Survived from entry to lower: −(H(lower) − H(entry)).
    const tau = data.logLower[i] ?? 0
    const gap = data.entryGap[i] ?? Infinity
    const hazard = Math.exp(k * tau - a)
    if (gap === Infinity) {
      value -= hazard
      da += hazard
      daa -= hazard
      dk -= tau * hazard
      dak += tau * hazard
      dkk -= tau * tau * hazard
    } else {
      const exposure = -hazard * Math.expm1(-k * gap)
      const entry = hazard * Math.exp(-k * gap)
      const first = tau * exposure + gap * entry
      value -= exposure
      da += exposure
      daa -= exposure
      dk -= first
      dak += first
      dkk -= tau * tau * exposure + gap * (2 * tau - gap) * entry
    }
  }
  if (kind === EXACT) {
    const tau = data.logLower[i] ?? 0
    value += Math.log(k) + k * tau - a - tau
    da -= 1
    dk += 1 / k + tau
    dkk -= 1 / (k * k)
  } else if (kind === INTERVAL || kind === LEFT) {
    // log(1 − e^−D) with D = H(upper) − H(lower).
    const tau = data.logUpper[i] ?? 0
    const gap = data.eventGap[i] ?? Infinity
    const kGap = k * gap
    // log D; for narrow intervals through H(lower) expm1(k · gap), else through H(upper).
    const logD =
      kind === LEFT || kGap > 1
        ? k * tau - a + (kind === LEFT ? 0 : Math.log1p(-Math.exp(-kGap)))
        : k * tau - a - kGap + Math.log(Math.expm1(kGap))
    const d = Math.exp(logD)
    value +=
      d < 1e-5 ? logD - d / 2 + (d * d) / 24 : d > Math.LN2 ? Math.log1p(-Math.exp(-d)) : Math.log(-Math.expm1(-d))
    const q = d === 0 ? 1 : d > 700 ? 0 : d / Math.expm1(d)
    const g = kind === LEFT || kGap > 700 ? 0 : gap / Math.expm1(kGap)
    const slope = tau + g
    // q (1 − d − q) ≤ 0; its series for small d avoids the cancellation.
    const r = q === 0 ? 0 : d < 1e-4 ? q * (-d / 2 - (d * d) / 12) : q * (1 - d - q)
    da -= q
    dk += q * slope
    daa += r
    dak -= r * slope
    dkk += r * slope * slope - (g === 0 ? 0 : q * g * (gap + g))
  }
  terms.value = value
  terms.a = da
  terms.k = dk
  terms.aa = daa
  terms.ak = dak
  terms.kk = dkk
}

/** The constant that the likelihood leaves out: each exact density is per unit of time, −log(unit) a piece. */
export function unitConstant(data: LikelihoodData): number {
  let exactWeight = 0
  for (let i = 0; i < data.count; i++) if (data.kind[i] === EXACT) exactWeight += data.weight[i] ?? 0
  return exactWeight === 0 ? 0 : -exactWeight * Math.log(data.unit)
}
