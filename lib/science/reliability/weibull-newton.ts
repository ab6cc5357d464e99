import { cholesky, solveCholesky } from './symmetric-matrix'
import { type LikelihoodData, observationTerms, type Terms, unitConstant } from './weibull-likelihood'

/** Covariates of an accelerated-failure-time model, row-major, count × width. A plain fit has width 1 and every value 1. */
export type Design = { width: number; values: Float64Array }

/** A point on the likelihood: parameters are (shape · coefficients…, shape), the last derivatives row and column belong to the shape. */
export type LikelihoodPoint = {
  parameters: Float64Array
  logLikelihood: number
  gradient: Float64Array
  /** Minus the matrix of second derivatives, row-major. */
  information: Float64Array
}

const MAX_ITERATIONS = 300
/** Newton decrement (squared step in units of standard errors) at which the climb is over; the last step is still taken. */
const DECREMENT_DONE = 1e-20
/** Where rounding keeps the decrement above the goal, it is accepted below this once it no longer shrinks. */
const DECREMENT_ACCEPTED = 1e-12

/** The log-likelihood (without its unit constant) and derivatives at one point, summed with Neumaier's compensation. */
export function likelihoodAt(data: LikelihoodData, design: Design, parameters: Float64Array): LikelihoodPoint {
  const width = design.width
  const size = width + 1
  const k = parameters[width] ?? 1
  const gradient = new Float64Array(size)
  const information = new Float64Array(size * size)
  const terms: Terms = { value: 0, a: 0, k: 0, aa: 0, ak: 0, kk: 0 }
  let sum = 0
  let lost = 0
  for (let i = 0; i < data.count; i++) {
    const weight = data.weight[i] ?? 1
    let a = 0
    for (let j = 0; j < width; j++) a += (design.values[i * width + j] ?? 0) * (parameters[j] ?? 0)
    observationTerms(data, i, k, a, terms)
    const value = weight * terms.value
    const next = sum + value
    lost += Math.abs(sum) >= Math.abs(value) ? sum - next + value : value - next + sum
    sum = next
    if (sum === -Infinity) break
    gradient[width] = (gradient[width] ?? 0) + weight * terms.k
    information[size * size - 1] = (information[size * size - 1] ?? 0) - weight * terms.kk
    for (let j = 0; j < width; j++) {
      const x = design.values[i * width + j] ?? 0
      gradient[j] = (gradient[j] ?? 0) + weight * x * terms.a
      information[width * size + j] = (information[width * size + j] ?? 0) - weight * x * terms.ak
      for (let l = 0; l <= j; l++) {
        information[j * size + l] =
          (information[j * size + l] ?? 0) - weight * x * (design.values[i * width + l] ?? 0) * terms.aa
      }
    }
  }
  for (let row = 0; row < size; row++) {
    for (let column = 0; column < row; column++)
      information[column * size + row] = information[row * size + column] ?? 0
  }
  const logLikelihood = sum === -Infinity || Number.isNaN(sum) ? -Infinity : sum + lost
  return { parameters, logLikelihood, gradient, information }
}

/** Newton direction; where the surface is not concave (left truncation) the diagonal is raised until it points upwards (Levenberg–Marquardt). */
function direction({ gradient, information }: LikelihoodPoint, size: number): Float64Array | null {
  const diagonal = Float64Array.from({ length: size }, (_, i) => Math.abs(information[i * size + i] ?? 0) || 1)
  for (let damping = 0; damping < 1e12; damping = damping === 0 ? 1e-6 : damping * 10) {
    // Scaled to a unit diagonal, so that parameters of very different size are treated alike.
    const scaled = information.map((value, index) => {
      const row = Math.floor(index / size)
      const column = index % size
      const unit = value / Math.sqrt((diagonal[row] ?? 1) * (diagonal[column] ?? 1))
      return row === column ? unit + damping : unit
    })
    const factor = cholesky(scaled, size)
    if (!factor) continue
    const right = gradient.map((value, i) => value / Math.sqrt(diagonal[i] ?? 1))
    const step = solveCholesky(factor, size, right).map((value, i) => value / Math.sqrt(diagonal[i] ?? 1))
    if (step.every(Number.isFinite)) return step
  }
  return null
}

export type Climb = LikelihoodPoint & { iterations: number; converged: boolean }

/**
 * Climbs the likelihood from `start` by damped Newton steps. The shape stays above 0: a step never takes away more than four fifths of it.
 * Terminates after at most MAX_ITERATIONS steps; `converged` says whether a summit was reached.
 */
export function climb(data: LikelihoodData, design: Design, start: Float64Array): Climb {
  const size = design.width + 1
  let point = likelihoodAt(data, design, start)
  let previousDecrement = Infinity
  for (let iterations = 1; iterations <= MAX_ITERATIONS; iterations++) {
    const step = direction(point, size)
    if (!step) return { ...point, iterations, converged: false }
    const decrement = step.reduce((sum, value, i) => sum + value * (point.gradient[i] ?? 0), 0)
    const stalled = decrement >= previousDecrement / 4 && decrement < DECREMENT_ACCEPTED
    const done = decrement <= DECREMENT_DONE || stalled
    const k = point.parameters[design.width] ?? 1
    const change = step[design.width] ?? 0
    let fraction = change < -0.8 * k ? (-0.8 * k) / change : 1
    // What rounding may take away from a step that is uphill in truth.
    const noise = 1e-13 * (Math.abs(point.logLikelihood) + Math.abs(unitConstant(data)) + data.count)
    let next: LikelihoodPoint | null = null
    for (let halving = 0; halving < 60; halving++, fraction /= 2) {
      const parameters = point.parameters.map((value, i) => value + fraction * (step[i] ?? 0))
      const trial = likelihoodAt(data, design, parameters)
      if (trial.logLikelihood >= point.logLikelihood + 1e-4 * fraction * decrement - noise) {
        next = trial
        break
      }
    }
    if (!next) return { ...point, iterations, converged: decrement < 1e-8 }
    if (done) return { ...(stalled ? point : next), iterations, converged: true }
    previousDecrement = decrement
    point = next
  }
  return { ...point, iterations: MAX_ITERATIONS, converged: false }
}
