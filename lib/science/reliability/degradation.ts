import { studentQuantile } from '@/lib/science/special-functions'
import { NotEstimable } from './observation'
import { checkLevel } from './poisson-rate'
import { checkPath, type PathPoint } from './trend'

export type DegradationLife = {
  /** Where the straight line meets the threshold, in the time of the readings. */
  median: number
  lower: number
  /** Infinity where the slope could as well be level. */
  upper: number
}

/**
 * When a reading that drifts along a straight line meets a threshold: least squares line, crossing (threshold − intercept) / slope, with Fieller's interval
 * for that ratio (level 0.95 unless given). The crossing may lie before the last reading: it has been passed.
 * Units: those of the path. Errors: RangeError on bad input, fewer than three readings or two times; NotEstimable ('flat') when the readings
 * lie at or move away from the threshold. Source: Fieller 1954, J. R. Stat. Soc. B 16: 175–185; Meeker & Escobar 1998, ch. 13.
 * @example degradationLife([{ time: 0, value: 100 }, { time: 10, value: 91 }, { time: 20, value: 80 }], 50).median // 50.1
 */
export function degradationLife(
  path: readonly PathPoint[],
  threshold: number,
  { level = 0.95 }: { level?: number } = {},
): DegradationLife {
  checkPath(path, 3)
  checkLevel(level)
  if (!Number.isFinite(threshold)) throw new RangeError(`the threshold must be a number, got ${threshold}`)
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
  const first = path.reduce((earliest, point) => (point.time < earliest.time ? point : earliest))
  const start = meanValue + slope * (first.time - meanTime)
  const gap = threshold - meanValue
  if (!((threshold - start) * slope > 0)) {
    throw new NotEstimable('flat', 'the readings do not move towards the threshold, so no life can be read from them')
  }
  const residual = path.reduce((sum, { time, value }) => sum + (value - meanValue - slope * (time - meanTime)) ** 2, 0)
  const factor = studentQuantile(1 - (1 - level) / 2, count - 2) ** 2 * (residual / (count - 2))
  const crossing = gap / slope
  // Fieller, around the centre of the data, where level and slope are uncorrelated: |gap − slope·u|² ≤ t² s² (1/n + u² / Σ(t − t̄)²) for u = time − mean time.
  const curvature = slope * slope - factor / timeSquares
  const median = meanTime + crossing
  const discriminant = gap * gap * (factor / timeSquares) + (factor / count) * curvature
  if (curvature <= 0) {
    // The slope could as well be 0: the confidence set leaves out at most a stretch between two roots, and reaches to Infinity.
    const root = curvature < 0 && discriminant > 0 ? (gap * slope - Math.sqrt(discriminant)) / curvature : -Infinity
    const lower = crossing >= root ? Math.max(first.time, meanTime + root) : first.time
    return { median, lower: Math.min(lower, median), upper: Infinity }
  }
  const half = Math.sqrt(Math.max(0, discriminant)) / curvature
  const centre = (gap * slope) / curvature
  return { median, lower: meanTime + centre - half, upper: meanTime + centre + half }
}
