import { normalCdf } from '@/lib/science/special-functions'

export type PathPoint = { time: number; value: number }

export function checkPath(path: readonly PathPoint[], least: number): void {
  if (path.length < least) throw new RangeError(`at least ${least} readings are needed, got ${path.length}`)
  path.forEach(({ time, value }, index) => {
    if (!Number.isFinite(time)) throw new RangeError(`the time of reading ${index + 1} must be a number, got ${time}`)
    if (!Number.isFinite(value))
      throw new RangeError(`the value of reading ${index + 1} must be a number, got ${value}`)
  })
}

function median(values: number[]): number {
  const sorted = Float64Array.from(values).sort()
  const half = sorted.length >> 1
  const upper = sorted[half] ?? 0
  return sorted.length % 2 === 1 ? upper : ((sorted[half - 1] ?? 0) + upper) / 2
}

/**
 * Theil–Sen line: slope is the median of the slopes of all pairs at different times, intercept the median of value − slope · time.
 * One wild reading hardly moves it. Errors: RangeError on fewer than two different times. Source: Sen 1968, JASA 63: 1379–1389.
 * @example theilSen([{ time: 0, value: 1 }, { time: 1, value: 2 }, { time: 2, value: 9 }]).slope // 4
 */
export function theilSen(path: readonly PathPoint[]): { slope: number; intercept: number } {
  checkPath(path, 2)
  const slopes: number[] = []
  path.forEach((from, i) => {
    for (const to of path.slice(i + 1)) {
      if (to.time !== from.time) slopes.push((to.value - from.value) / (to.time - from.time))
    }
  })
  if (slopes.length === 0) throw new RangeError('readings at two different times at least are needed for a slope')
  const slope = median(slopes)
  return { slope, intercept: median(path.map(({ time, value }) => value - slope * time)) }
}

/**
 * Mann–Kendall test for a rise or fall in a series in order of time: S = pairs that rise − pairs that fall; z with tie and continuity correction; two-sided p.
 * The normal approximation is rough below about ten values. All values equal: z 0, p 1. Errors: RangeError on fewer than two values.
 * Source: Kendall 1975, Rank Correlation Methods; variance with ties as in Gilbert 1987, Statistical Methods for Environmental Pollution Monitoring, ch. 16.
 * @example mannKendall([1, 2, 4, 3, 5]).s // 8
 */
export function mannKendall(values: readonly number[]): { s: number; z: number; pValue: number } {
  if (values.length < 2) throw new RangeError(`at least 2 values are needed, got ${values.length}`)
  values.forEach((value, index) => {
    if (!Number.isFinite(value)) throw new RangeError(`value ${index + 1} must be a number, got ${value}`)
  })
  let s = 0
  const groups = new Map<number, number>()
  values.forEach((value, i) => {
    groups.set(value, (groups.get(value) ?? 0) + 1)
    for (let j = i + 1; j < values.length; j++) s += Math.sign((values[j] ?? 0) - value)
  })
  const spread = (n: number) => n * (n - 1) * (2 * n + 5)
  let ties = 0
  for (const size of groups.values()) ties += spread(size)
  const variance = (spread(values.length) - ties) / 18
  const z = s === 0 || variance === 0 ? 0 : (s - Math.sign(s)) / Math.sqrt(variance)
  return { s, z, pValue: Math.min(1, 2 * normalCdf(-Math.abs(z))) }
}
