import { checkObservations, NotEstimable, type Observation } from './observation'
import { cholesky, invertSymmetric } from './symmetric-matrix'
import {
  type LikelihoodData,
  observationTerms,
  prepareLikelihood,
  RIGHT,
  type Terms,
  unitConstant,
} from './weibull-likelihood'
import { type Climb, climb, type Design } from './weibull-newton'

export type WeibullRegressionRow = Observation & { covariates: readonly number[] }

export type WeibullRegression = {
  /** One a covariate: log scale = Σ covariate · coefficient. Include a covariate of 1 for the intercept. */
  coefficients: number[]
  /** Of the coefficients. */
  standardErrors: number[]
  shape: number
  standardErrorLogShape: number
  logLikelihood: number
}

/** A coefficient this many standard errors out, or a shape beyond these, is a likelihood still rising towards an edge. */
const EDGE = { leastShape: 1e-6, mostShape: 1e9, leastInformation: 1e-10 }

/**
 * Weibull accelerated-failure-time regression by maximum likelihood for all censorings, late entries and weights: S(t) = exp(−(t / scale)^shape), log scale = x′b.
 * Standard errors from the observed information, or cluster-robust (no small-sample factor) with `cluster`, one label a row.
 * Errors: RangeError on bad input, or covariates of which one follows from the others; NotEstimable where no finite maximum exists.
 * Source: Meeker & Escobar 1998, Statistical Methods for Reliability Data, ch. 17.
 * @example fitWeibullRegression([{ lower: 3, upper: 3, covariates: [1, 0] }, { lower: 5, upper: 5, covariates: [1, 0] }, { lower: 9, upper: 12, covariates: [1, 1] }])
 */
export function fitWeibullRegression(
  rows: readonly WeibullRegressionRow[],
  options: { cluster?: readonly string[] } = {},
): WeibullRegression {
  const checked = checkObservations(rows)
  const design = designOf(rows)
  const constant = constantCombination(design, rows.length)
  if (options.cluster && options.cluster.length !== rows.length) {
    throw new RangeError(`one cluster label a row is needed: ${rows.length}, got ${options.cluster.length}`)
  }
  if (options.cluster && new Set(options.cluster).size < 2)
    throw new RangeError('cluster-robust errors need at least two clusters')
  if (checked.every(({ upper }) => upper === Infinity)) throw new NotEstimable('no-events')
  // Without a constant among the covariates a change of the unit of time would change the model.
  const data = prepareLikelihood(checked, constant ? undefined : 1)
  const summit = climbFromExponential(data, design, constant)
  const width = design.width
  const shape = summit.parameters[width] ?? 0
  if (!summit.converged || shape < EDGE.leastShape) throw new NotEstimable('flat')
  if (shape > EDGE.mostShape) throw new NotEstimable('shape-unbounded')
  const inverse = invertSymmetric(summit.information, width + 1)
  if (!inverse) throw new NotEstimable('flat')
  const covariance = options.cluster ? sandwich(inverse, data, design, options.cluster, summit) : inverse
  // Parameters are g = shape · b (relative to the unit of time) and shape: db = (dg − b dshape) / shape.
  const relative = Array.from({ length: width }, (_, j) => (summit.parameters[j] ?? 0) / shape)
  const size = width + 1
  const at = (row: number, column: number) => covariance[row * size + column] ?? 0
  const standardErrors = relative.map(
    (b, j) => Math.sqrt(Math.max(0, at(j, j) - 2 * b * at(j, width) + b * b * at(width, width))) / shape,
  )
  return {
    coefficients: relative.map((b, j) => b + Math.log(data.unit) * (constant?.[j] ?? 0)),
    standardErrors,
    shape,
    standardErrorLogShape: Math.sqrt(at(width, width)) / shape,
    logLikelihood: summit.logLikelihood + unitConstant(data),
  }
}

function designOf(rows: readonly WeibullRegressionRow[]): Design {
  const width = rows[0]?.covariates.length ?? 0
  if (width === 0) throw new RangeError('at least one covariate is needed; for a plain fit it is 1')
  const values = new Float64Array(rows.length * width)
  rows.forEach(({ covariates }, i) => {
    if (covariates.length !== width) {
      throw new RangeError(`row ${i + 1} has ${covariates.length} covariates, the first has ${width}`)
    }
    covariates.forEach((value, j) => {
      if (!Number.isFinite(value))
        throw new RangeError(`covariate ${j + 1} of row ${i + 1} must be a number, got ${value}`)
      values[i * width + j] = value
    })
  })
  return { width, values }
}

/**
 * The combination of covariates that is 1 in every row (by least squares), or null when there is none.
 * Errors: RangeError when one covariate follows from the others.
 */
function constantCombination({ width, values }: Design, count: number): Float64Array | null {
  const normal = new Float64Array(width * width)
  const sums = new Float64Array(width)
  for (let i = 0; i < count; i++) {
    for (let j = 0; j < width; j++) {
      const x = values[i * width + j] ?? 0
      sums[j] = (sums[j] ?? 0) + x
      for (let l = 0; l < width; l++)
        normal[j * width + l] = (normal[j * width + l] ?? 0) + x * (values[i * width + l] ?? 0)
    }
  }
  const length = (j: number) => Math.sqrt(normal[j * width + j] ?? 0)
  const scaled = normal.map((value, index) => value / (length(Math.floor(index / width)) * length(index % width)))
  const factor = cholesky(scaled, width)
  const apart =
    factor !== null &&
    Array.from({ length: width }, (_, j) => factor[j * width + j] ?? 0).every((pivot) => pivot > 1e-7)
  const inverse = apart ? invertSymmetric(normal, width) : null
  if (!inverse) throw new RangeError('the covariates cannot be told apart: one of them follows from the others')
  const result = new Float64Array(width)
  for (let j = 0; j < width; j++) {
    for (let l = 0; l < width; l++) result[j] = (result[j] ?? 0) + (inverse[j * width + l] ?? 0) * (sums[l] ?? 0)
  }
  for (let i = 0; i < count; i++) {
    let sum = 0
    for (let j = 0; j < width; j++) sum += (values[i * width + j] ?? 0) * (result[j] ?? 0)
    if (Math.abs(sum - 1) > 1e-6) return null
  }
  return result
}

/** Starts from one exponential level for all rows at a few shapes; keeps the highest summit. */
function climbFromExponential(data: LikelihoodData, design: Design, constant: Float64Array | null): Climb {
  let best: Climb | null = null
  let events = 0
  let exposure = 0
  for (let i = 0; i < data.count; i++) {
    const weight = data.weight[i] ?? 1
    const log = (data.kind[i] === RIGHT ? data.logLower[i] : data.logUpper[i]) ?? 0
    if (data.kind[i] !== RIGHT) events += weight
    exposure += weight * Math.exp(Math.min(log, 300))
  }
  const level = Math.log(exposure / events)
  for (const shape of [1, 0.3, 3]) {
    const start = new Float64Array(design.width + 1)
    for (let j = 0; j < design.width; j++) start[j] = shape * level * (constant?.[j] ?? 0)
    start[design.width] = shape
    const result = climb(data, design, start)
    if (!best || (result.converged && !best.converged) || result.logLikelihood > best.logLikelihood + 1e-9)
      best = result
    if (result.converged) break
  }
  if (!best) throw new NotEstimable('flat')
  assertHeld(best, design.width + 1)
  return best
}

/** A summit holds every parameter: along none of them may the likelihood be level. */
function assertHeld(summit: Climb, size: number): void {
  const inverse = invertSymmetric(summit.information, size)
  const level =
    !inverse ||
    Array.from({ length: size }, (_, j) => (inverse[j * size + j] ?? 0) * EDGE.leastInformation).some((x) => !(x < 1))
  if (level)
    throw new NotEstimable(
      'flat',
      'the likelihood keeps rising as a coefficient grows, for instance because a group has no events',
    )
}

function sandwich(
  inverse: Float64Array,
  data: LikelihoodData,
  design: Design,
  cluster: readonly string[],
  summit: Climb,
): Float64Array {
  const { width, values } = design
  const size = width + 1
  const shape = summit.parameters[width] ?? 1
  const scores = new Map<string, Float64Array>()
  const terms: Terms = { value: 0, a: 0, k: 0, aa: 0, ak: 0, kk: 0 }
  for (let i = 0; i < data.count; i++) {
    let a = 0
    for (let j = 0; j < width; j++) a += (values[i * width + j] ?? 0) * (summit.parameters[j] ?? 0)
    observationTerms(data, i, shape, a, terms)
    const label = cluster[i] ?? ''
    const score = scores.get(label) ?? new Float64Array(size)
    const weight = data.weight[i] ?? 1
    for (let j = 0; j < width; j++) score[j] = (score[j] ?? 0) + weight * terms.a * (values[i * width + j] ?? 0)
    score[width] = (score[width] ?? 0) + weight * terms.k
    scores.set(label, score)
  }
  const result = new Float64Array(size * size)
  for (const score of scores.values()) {
    const influence = new Float64Array(size)
    for (let row = 0; row < size; row++) {
      for (let column = 0; column < size; column++)
        influence[row] = (influence[row] ?? 0) + (inverse[row * size + column] ?? 0) * (score[column] ?? 0)
    }
    for (let row = 0; row < size; row++) {
      for (let column = 0; column < size; column++) {
        result[row * size + column] =
          (result[row * size + column] ?? 0) + (influence[row] ?? 0) * (influence[column] ?? 0)
      }
    }
  }
  return result
}
