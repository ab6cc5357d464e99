import { studentQuantile } from '@/lib/science/special-functions'
import { NotEstimable } from './observation'
import { checkLevel } from './poisson-rate'
import { checkPath, type PathPoint } from './theil-sen'

export type DegradationLife = {
  /** Where the straight line meets the threshold, in the time of the readings. */
  median: number
  lower: number
  /** Infinity where the slope could as well be level. */
  upper: number
}

/** A threshold counted from where the line itself begins, at the first reading: share · start + plus. */
export type RelativeThreshold = { share: number; plus: number }

/**
 * When a reading that drifts along a straight line meets a threshold: least squares line, crossing (threshold − intercept) / slope, with Fieller's interval
 * for that ratio (level 0.95 unless given). The crossing may lie before the last reading: it has been passed. A threshold relative to the device's own beginning
 * (`share` · start + `plus`) is met where intercept·(1 − share) + slope·(t − share·t₀) = plus: the beginning is then as uncertain as the line, and not the one first reading.
 * Units: those of the path. Errors: RangeError on bad input, fewer than three readings or two times; NotEstimable ('flat') when the readings
 * lie at or move away from the threshold. Source: Fieller 1954, J. R. Stat. Soc. B 16: 175–185; Meeker & Escobar 1998, ch. 13.
 * @example degradationLife([{ time: 0, value: 100 }, { time: 10, value: 91 }, { time: 20, value: 80 }], 50).median // 50.1
 */
export function degradationLife(
  path: readonly PathPoint[],
  threshold: number | RelativeThreshold,
  { level = 0.95 }: { level?: number } = {},
): DegradationLife {
  checkPath(path, 3)
  checkLevel(level)
  const { share, plus } = typeof threshold === 'number' ? { share: 0, plus: threshold } : threshold
  if (!(Number.isFinite(share) && Number.isFinite(plus)))
    throw new RangeError(`the threshold must be a number, got ${share} times the beginning and ${plus}`)
  const line = leastSquares(path)
  const { count, meanTime, meanValue, timeSquares, slope, firstTime, start } = line
  if (!((share * start + plus - start) * slope > 0)) {
    throw new NotEstimable('flat', 'the readings do not move towards the threshold, so no life can be read from them')
  }
  const factor = studentQuantile(1 - (1 - level) / 2, count - 2) ** 2 * (line.residual / (count - 2))
  // Fieller, around the centre of the data, where level and slope are uncorrelated: with u = t − origin,
  // |gap − slope·u|² ≤ t² s² ((1 − share)² / n + u² / Σ(t − t̄)²).
  const ofLevel = (1 - share) ** 2
  const gap = plus - (1 - share) * meanValue
  const origin = share * firstTime + (1 - share) * meanTime
  const crossing = gap / slope
  const curvature = slope * slope - factor / timeSquares
  const median = origin + crossing
  const discriminant = gap * gap * (factor / timeSquares) + (factor * ofLevel * curvature) / count
  if (curvature <= 0) {
    // The slope could as well be 0: the confidence set leaves out at most a stretch between two roots, and reaches to Infinity.
    const root = curvature < 0 && discriminant > 0 ? (gap * slope - Math.sqrt(discriminant)) / curvature : -Infinity
    const lower = crossing >= root ? Math.max(firstTime, origin + root) : firstTime
    return { median, lower: Math.min(lower, median), upper: Infinity }
  }
  const half = Math.sqrt(Math.max(0, discriminant)) / curvature
  const centre = (gap * slope) / curvature
  return { median, lower: origin + centre - half, upper: origin + centre + half }
}

/** Where the least squares line of a path begins: its value at the first reading. Errors: RangeError as `degradationLife`. */
export function startOfLine(path: readonly PathPoint[]): number {
  checkPath(path, 2)
  return leastSquares(path).start
}

function leastSquares(path: readonly PathPoint[]) {
  const count = path.length
  const meanTime = path.reduce((sum, { time }) => sum + time, 0) / count
  const meanValue = path.reduce((sum, { value }) => sum + value, 0) / count
  let timeSquares = 0
  let products = 0
  for (const { time, value } of path) {
    timeSquares += (time - meanTime) ** 2
    products += (time - meanTime) * (value - meanValue)
  }
  if (timeSquares === 0) throw new RangeError('readings at two different times at least are needed for a slope')
  const slope = products / timeSquares
  const firstTime = path.reduce((earliest, { time }) => Math.min(earliest, time), Number.POSITIVE_INFINITY)
  const residual = path.reduce((sum, { time, value }) => sum + (value - meanValue - slope * (time - meanTime)) ** 2, 0)
  const start = meanValue + slope * (firstTime - meanTime)
  return { count, meanTime, meanValue, timeSquares, slope, firstTime, start, residual }
}
