import { checkObservations, NotEstimable, type Observation } from './observation'
import { invertSymmetric } from './symmetric-matrix'
import { assertEstimable } from './weibull-existence'
import {
  EXACT,
  INTERVAL,
  type LikelihoodData,
  observationTerms,
  prepareLikelihood,
  RIGHT,
  type Terms,
  unitConstant,
} from './weibull-likelihood'
import { type Climb, climb, type Design, likelihoodAt } from './weibull-newton'

export type WeibullFit = {
  /** Above 1: wear; 1: by chance alone; below 1: early failures. */
  shape: number
  /** The age by which 63.2 % have ended, in the unit of the observations. */
  scale: number
  standardErrors: { logShape: number; logScale: number }
  /** Of [log shape, log scale], in this order in rows and columns. */
  covariance: [[number, number], [number, number]]
  logLikelihood: number
  iterations: number
}

/**
 * Weibull life by maximum likelihood. S(t) = exp(−(t / scale)^shape); the log-likelihood adds weight × log of: the density (exact), S(lower) − S(upper)
 * (interval, left-censored), S(lower) (right-censored), each divided by S(truncatedAt).
 * Units: those of the observations. Covariance: inverse observed information; with `cluster` (one label an observation) the cluster-robust sandwich, without small-sample factor.
 * Errors: RangeError on bad input; NotEstimable when no finite maximum exists (foretold by `weibullExistence`).
 * Source: Meeker & Escobar 1998, Statistical Methods for Reliability Data, ch. 8 and 11; sandwich: Lin & Wei 1989, JASA 84: 1074–1078.
 * @example fitWeibull([{ lower: 2, upper: 4 }, { lower: 5, upper: 8 }, { lower: 9, upper: Infinity }]).shape
 */
export function fitWeibull(
  observations: readonly Observation[],
  options: { cluster?: readonly string[] } = {},
): WeibullFit {
  const checked = checkObservations(observations)
  if (options.cluster && options.cluster.length !== checked.length) {
    throw new RangeError(`one cluster label an observation is needed: ${checked.length}, got ${options.cluster.length}`)
  }
  if (options.cluster && new Set(options.cluster).size < 2) {
    throw new RangeError('cluster-robust errors need at least two clusters; with one they would come out as 0')
  }
  assertEstimable(checked)
  const data = prepareLikelihood(checked)
  const design: Design = { width: 1, values: new Float64Array(data.count).fill(1) }
  const summit = bestClimb(data, design)
  const [a = 0, k = 1] = summit.parameters
  const scale = data.unit * Math.exp(a / k)
  if (!(scale > 0 && scale < Infinity)) {
    throw new NotEstimable(
      'flat',
      'the found share hardly changes with age: the best scale is too small or too large to be written as a number',
    )
  }
  const covariance = covarianceOfLogs(data, design, summit, options.cluster)
  return {
    shape: k,
    scale,
    standardErrors: { logShape: Math.sqrt(covariance[0][0]), logScale: Math.sqrt(covariance[1][1]) },
    covariance,
    logLikelihood: summit.logLikelihood + unitConstant(data),
    iterations: summit.iterations,
  }
}

/**
 * Without late entries, and with exact and right-censored lives alone, the surface has one summit and the first climb that arrives is it.
 * Otherwise several starts guard against a lower summit.
 */
function bestClimb(data: LikelihoodData, design: Design): Climb {
  const first = startingShape(data)
  const late = data.entryGap.some((gap) => gap < Infinity)
  const oneSummit = !late || data.kind.every((kind) => kind <= EXACT)
  let best: Climb | null = null
  for (const shape of [first, 1, first / 8, first * 8, 0.1]) {
    const result = climb(data, design, Float64Array.of(startingLevel(data, shape), shape))
    if (result.converged && (!best || result.logLikelihood > best.logLikelihood + 1e-9)) best = result
    if (oneSummit && result.converged) break
  }
  if (!best) throw new NotEstimable('flat')
  return best
}

/** A shape to start from: the spread of a Weibull's log life is π / (√6 shape). */
function startingShape(data: LikelihoodData): number {
  let weight = 0
  let mean = 0
  let squares = 0
  for (let i = 0; i < data.count; i++) {
    const kind = data.kind[i] ?? RIGHT
    if (kind === RIGHT) continue
    const w = data.weight[i] ?? 1
    const upper = data.logUpper[i] ?? 0
    const log = kind === EXACT ? upper : kind === INTERVAL ? upper - (data.eventGap[i] ?? 0) / 2 : upper - Math.LN2
    weight += w
    const shift = log - mean
    mean += (w / weight) * shift
    squares += w * shift * (log - mean)
  }
  const spread = Math.sqrt(squares / weight)
  return spread > 1e-14 ? Math.max(1.2825 / spread, 0.3) : 1
}

/** The a at which the expected number of events, at about the middle of each interval, equals the number seen. */
function startingLevel(data: LikelihoodData, shape: number): number {
  const log = (i: number) => {
    const kind = data.kind[i] ?? RIGHT
    if (kind === RIGHT) return data.logLower[i] ?? 0
    return kind === INTERVAL ? (data.logUpper[i] ?? 0) - (data.eventGap[i] ?? 0) / 2 : (data.logUpper[i] ?? 0)
  }
  let top = -Infinity
  for (let i = 0; i < data.count; i++) top = Math.max(top, shape * log(i))
  let exposure = 0
  let events = 0
  for (let i = 0; i < data.count; i++) {
    const w = data.weight[i] ?? 1
    exposure += w * Math.exp(shape * log(i) - top)
    if (data.kind[i] !== RIGHT) events += w
  }
  return top + Math.log(exposure) - Math.log(events)
}

function covarianceOfLogs(
  data: LikelihoodData,
  design: Design,
  summit: Climb,
  cluster: readonly string[] | undefined,
): [[number, number], [number, number]] {
  const inverse = invertSymmetric(likelihoodAt(data, design, summit.parameters).information, 2)
  if (!inverse) throw new NotEstimable('flat')
  const [a = 0, k = 1] = summit.parameters
  const [aa = 0, ak = 0, , kk = 0] = cluster ? sandwich(inverse, data, cluster, a, k) : inverse
  // d log shape = dk / k;  d log scale = (da − m dk) / k with m = a / k, the log of scale over unit.
  const m = a / k
  const shapeScale = (ak - m * kk) / (k * k)
  return [
    [kk / (k * k), shapeScale],
    [shapeScale, (aa - 2 * m * ak + m * m * kk) / (k * k)],
  ]
}

function sandwich(
  inverse: Float64Array,
  data: LikelihoodData,
  cluster: readonly string[],
  a: number,
  k: number,
): Float64Array {
  const scores = new Map<string, [number, number]>()
  const terms: Terms = { value: 0, a: 0, k: 0, aa: 0, ak: 0, kk: 0 }
  for (let i = 0; i < data.count; i++) {
    observationTerms(data, i, k, a, terms)
    const label = cluster[i] ?? ''
    const score = scores.get(label) ?? [0, 0]
    score[0] += (data.weight[i] ?? 1) * terms.a
    score[1] += (data.weight[i] ?? 1) * terms.k
    scores.set(label, score)
  }
  const [vaa = 0, vak = 0, , vkk = 0] = inverse
  const result = new Float64Array(4)
  for (const [sa, sk] of scores.values()) {
    const ia = vaa * sa + vak * sk
    const ik = vak * sa + vkk * sk
    result[0] = (result[0] ?? 0) + ia * ia
    result[1] = (result[1] ?? 0) + ia * ik
    result[3] = (result[3] ?? 0) + ik * ik
  }
  result[2] = result[1] ?? 0
  return result
}
