import { cholesky, solveCholesky } from './symmetric-matrix'

/** Each observation covers the consecutive stretches from … to. */
type Cover = { from: number; to: number }

const MAX_ROUNDS = 500
/** Kuhn–Tucker gap at which the climb ends; the log-likelihood is then at most this × total weight below its highest. */
const GAP_DONE = 1e-12
/** Newton works on this many stretches at most, those with most mass; the others wait for the gradient to call them back. */
const NEWTON_STRETCHES = 200

/**
 * The masses p ≥ 0, Σ p = 1, that maximise Σ weight · log Σ p over the covered stretches. Concave.
 * Self-consistency (EM) steps bring it near; Newton steps on the stretches that still hold mass finish it; a stretch is dropped when it reaches 0 and taken back
 * when its gradient says so. Ends when every gradient is at most 1 (of the total weight), or after MAX_ROUNDS rounds.
 */
export function climbMasses(covers: readonly Cover[], weights: readonly number[], size: number): Float64Array {
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  let masses = new Float64Array(size).fill(1 / size)
  const shares = new Float64Array(covers.length)
  /** Gradient of the log-likelihood by each mass over the total weight, through prefix sums. */
  const gradient = (p: Float64Array): Float64Array => {
    const prefix = new Float64Array(size + 1)
    for (let j = 0; j < size; j++) prefix[j + 1] = (prefix[j] ?? 0) + (p[j] ?? 0)
    const steps = new Float64Array(size + 1)
    covers.forEach(({ from, to }, i) => {
      const share = from === to ? (p[from] ?? 0) : (prefix[to + 1] ?? 0) - (prefix[from] ?? 0)
      shares[i] = share
      const pull = (weights[i] ?? 1) / (total * Math.max(share, 1e-300))
      steps[from] = (steps[from] ?? 0) + pull
      steps[to + 1] = (steps[to + 1] ?? 0) - pull
    })
    const result = new Float64Array(size)
    let sum = 0
    for (let j = 0; j < size; j++) {
      sum += steps[j] ?? 0
      result[j] = sum
    }
    return result
  }
  const logLikelihood = (p: Float64Array): number => {
    gradient(p)
    let sum = 0
    for (let i = 0; i < covers.length; i++) sum += (weights[i] ?? 1) * Math.log(shares[i] ?? 0)
    return sum
  }
  for (let round = 0; round < MAX_ROUNDS; round++) {
    let slopes = gradient(masses)
    for (let step = 0; step < (round === 0 ? 100 : 10); step++) {
      masses = normalised(masses.map((mass, j) => mass * (slopes[j] ?? 0)))
      slopes = gradient(masses)
    }
    const improved = newtonStep(masses, slopes, covers, weights, shares, total, logLikelihood)
    if (improved) masses = improved
    slopes = gradient(masses)
    const top = slopes.reduce((highest, slope) => Math.max(highest, slope), 0)
    const uneven = slopes.some((slope, j) => (masses[j] ?? 0) > 0 && Math.abs(slope - 1) > 1e-10)
    if (top <= 1 + GAP_DONE && !uneven) break
    // A stretch without mass that pulls gets a little back.
    masses = normalised(masses.map((mass, j) => (mass === 0 && (slopes[j] ?? 0) > 1 + GAP_DONE ? 1e-4 / size : mass)))
  }
  return masses
}

function normalised(masses: Float64Array): Float64Array<ArrayBuffer> {
  const sum = masses.reduce((total, mass) => total + mass, 0)
  return Float64Array.from(masses, (mass) => mass / sum)
}

/** One Newton step over the stretches with mass, keeping their sum; cut where a mass reaches 0. Null when it does not climb. */
function newtonStep(
  masses: Float64Array,
  slopes: Float64Array,
  covers: readonly Cover[],
  weights: readonly number[],
  shares: Float64Array,
  total: number,
  logLikelihood: (p: Float64Array) => number,
): Float64Array<ArrayBuffer> | null {
  // Those that fade (little mass, gradient below 1) are let go.
  const kept = Float64Array.from(masses, (mass, j) => (mass < 1e-7 && (slopes[j] ?? 0) < 1 - 1e-9 ? 0 : mass))
  const sorted = Float64Array.from(kept).sort()
  const least = sorted[sorted.length - NEWTON_STRETCHES] ?? 0
  if (least > 0)
    kept.forEach((mass, j) => {
      if (mass < least) kept[j] = 0
    })
  const active: number[] = []
  const place = new Int32Array(masses.length + 1)
  kept.forEach((mass, j) => {
    place[j] = active.length
    if (mass > 0) active.push(j)
  })
  place[masses.length] = active.length
  const size = active.length
  if (size < 2) return null
  const start = normalised(kept)
  const before = logLikelihood(masses)
  const slopesHere = Float64Array.from(active, (j) => slopes[j] ?? 0)
  // Information matrix by second differences of rectangles: each cover adds weight / share² to a square block.
  const corners = new Float64Array((size + 1) * (size + 1))
  const add = (row: number, column: number, value: number) => {
    corners[row * (size + 1) + column] = (corners[row * (size + 1) + column] ?? 0) + value
  }
  covers.forEach(({ from, to }, i) => {
    const low = place[from] ?? 0
    const high = place[to + 1] ?? size
    const value = (weights[i] ?? 1) / (total * (shares[i] ?? 1) ** 2)
    add(low, low, value)
    add(high, high, value)
    add(low, high, -value)
    add(high, low, -value)
  })
  const information = new Float64Array(size * size)
  for (let row = 0; row < size; row++) {
    for (let column = 0; column < size; column++) {
      const above = row > 0 ? (information[(row - 1) * size + column] ?? 0) : 0
      const left = column > 0 ? (information[row * size + column - 1] ?? 0) : 0
      const both = row > 0 && column > 0 ? (information[(row - 1) * size + column - 1] ?? 0) : 0
      information[row * size + column] = above + left - both + (corners[row * (size + 1) + column] ?? 0)
    }
  }
  // The masses may not be determined one by one; a trace of ridge picks the nearest solution.
  for (let j = 0; j < size; j++) information[j * size + j] = (information[j * size + j] ?? 0) * (1 + 1e-12) + 1e-12
  const factor = cholesky(information, size)
  if (!factor) return null
  const toward = solveCholesky(factor, size, slopesHere)
  const ones = solveCholesky(factor, size, new Float64Array(size).fill(1))
  const sum = (values: Float64Array) => values.reduce((all, value) => all + value, 0)
  const multiplier = sum(toward) / sum(ones)
  const step = toward.map((value, j) => value - multiplier * (ones[j] ?? 0))
  // Masses that would go below 0 stop there, several at once; the likelihood decides how far to go.
  let fraction = 1
  for (let halving = 0; halving < 30; halving++, fraction /= 2) {
    const next = Float64Array.from(start)
    step.forEach((change, j) => {
      const index = active[j] ?? 0
      const mass = (start[index] ?? 0) + fraction * change
      next[index] = mass > 1e-14 ? mass : 0
    })
    const trial = normalised(next)
    if (logLikelihood(trial) >= before - 1e-12 * Math.abs(before)) return trial
  }
  return null
}
