import { cholesky, invertSymmetric, solveCholesky } from './symmetric-matrix'

export type PosteriorMode = {
  at: Float64Array
  value: number /** Inverse of minus the second derivatives there. */
  covariance: Float64Array
}

const STEP = 1e-3
const MAX_ITERATIONS = 60

/**
 * Highest point of a smooth log posterior in few dimensions and its local covariance, by damped Newton steps on numeric derivatives.
 * Coordinates must be scaled so that a unit is about a prior standard deviation. Always ends; where the curvature is not positive it leans on the prior's, 1.
 */
export function posteriorMode(f: (at: Float64Array) => number, start: Float64Array): PosteriorMode {
  const size = start.length
  let at = Float64Array.from(start)
  let value = f(at)
  let information = identity(size)
  for (let iteration = 0; iteration < MAX_ITERATIONS; iteration++) {
    const local = derivatives(f, at, value)
    information = local.information
    let moved = false
    let change = 0
    for (let damping = 0; damping < 1e6; damping = damping === 0 ? 0.5 : damping * 8) {
      const step = dampedStep(local.gradient, information, size, damping)
      if (!step) continue
      const next = at.map((x, i) => x + Math.max(-2, Math.min(2, step[i] ?? 0)))
      const trial = f(next)
      if (trial >= value - 1e-10) {
        change = Math.max(...next.map((x, i) => Math.abs(x - (at[i] ?? 0))))
        moved = true
        at = next
        value = trial
        break
      }
    }
    if (!moved || change < 1e-4) break
  }
  const last = derivatives(f, at, value)
  const covariance = invertSymmetric(last.information, size) ?? invertSymmetric(information, size) ?? identity(size)
  return { at, value, covariance }
}

function identity(size: number): Float64Array {
  return Float64Array.from({ length: size * size }, (_, i) => (i % (size + 1) === 0 ? 1 : 0))
}

function dampedStep(
  gradient: Float64Array,
  information: Float64Array,
  size: number,
  damping: number,
): Float64Array | null {
  const damped = information.map((x, i) => (i % (size + 1) === 0 ? x + damping : x))
  const factor = cholesky(damped, size)
  return factor ? solveCholesky(factor, size, gradient) : null
}

function derivatives(f: (at: Float64Array) => number, at: Float64Array, value: number) {
  const size = at.length
  const shifted = (...moves: [index: number, by: number][]) => {
    const point = Float64Array.from(at)
    for (const [index, by] of moves) point[index] = (point[index] ?? 0) + by
    return f(point)
  }
  const gradient = new Float64Array(size)
  const information = new Float64Array(size * size)
  for (let i = 0; i < size; i++) {
    const up = shifted([i, STEP])
    const down = shifted([i, -STEP])
    gradient[i] = (up - down) / (2 * STEP)
    information[i * size + i] = -(up - 2 * value + down) / (STEP * STEP)
    for (let j = 0; j < i; j++) {
      const mixed =
        shifted([i, STEP], [j, STEP]) -
        shifted([i, STEP], [j, -STEP]) -
        shifted([i, -STEP], [j, STEP]) +
        shifted([i, -STEP], [j, -STEP])
      information[i * size + j] = -mixed / (4 * STEP * STEP)
      information[j * size + i] = information[i * size + j] ?? 0
    }
  }
  return { gradient, information }
}
