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

/** The slopes of all pairs at different times. */
function slopesOf(path: readonly PathPoint[]): number[] {
  checkPath(path, 2)
  const slopes: number[] = []
  path.forEach((from, i) => {
    for (const to of path.slice(i + 1)) {
      if (to.time !== from.time) slopes.push((to.value - from.value) / (to.time - from.time))
    }
  })
  if (slopes.length === 0) throw new RangeError('readings at two different times at least are needed for a slope')
  if (!slopes.every(Number.isFinite)) throw new RangeError('the readings lie too far apart for a slope')
  return slopes
}

/**
 * Theil–Sen line: slope is the median of the slopes of all pairs at different times, intercept the median of value − slope · time.
 * One wild reading hardly moves it. Errors: RangeError on fewer than two different times. Source: Sen 1968, JASA 63: 1379–1389.
 * @example theilSen([{ time: 0, value: 1 }, { time: 1, value: 2 }, { time: 2, value: 9 }]).slope // 4
 */
export function theilSen(path: readonly PathPoint[]): { slope: number; intercept: number } {
  const slope = median(slopesOf(path))
  return { slope, intercept: median(path.map(({ time, value }) => value - slope * time)) }
}

/**
 * Theil–Sen slope with its distribution-free interval: of the n(n − 1) / 2 slopes of pairs, in order, the r-th from either end, r the largest for which P(fewer than r inversions) ≤ (1 − level) / 2 in a random order of n
 * values. Holds with at least `level` whatever the law of the errors, if they are independent and alike. lower and upper are infinite where n is too small for the level (0.9 needs 4, 0.95 needs 5).
 * Units: those of the path. Errors: RangeError on fewer than two readings, two readings at one time, or a level not between 0 and 1. Source: Sen 1968, JASA 63: 1379–1389.
 * @example theilSenInterval([{ time: 0, value: 1 }, { time: 1, value: 2 }, { time: 2, value: 3.2 }, { time: 3, value: 4 }], 0.9) // { slope: 1, lower: 0.8, upper: 1.2 }
 */
export function theilSenInterval(
  path: readonly PathPoint[],
  level: number,
): { slope: number; lower: number; upper: number } {
  if (!(level > 0 && level < 1)) throw new RangeError(`the level must lie between 0 and 1, got ${level}`)
  const slopes = slopesOf(path)
  if (slopes.length < (path.length * (path.length - 1)) / 2)
    throw new RangeError('an interval for a slope needs readings at different times')
  const slope = median(slopes)
  const fromEnd = inversionsBelow(path.length, (1 - level) / 2)
  const sorted = Float64Array.from(slopes).sort()
  return { slope, lower: sorted[fromEnd - 1] ?? -Infinity, upper: sorted[sorted.length - fromEnd] ?? Infinity }
}

/** The largest r with P(fewer than r inversions in a random order of n) ≤ tail; the chances of each number of inversions are built up one value at a time. */
function inversionsBelow(n: number, tail: number): number {
  let chances = [1]
  for (let size = 2; size <= n; size += 1) {
    const before = chances
    // One value more adds 0 to size − 1 inversions, each as likely: a sum over a window that moves on.
    let window = 0
    chances = Array.from({ length: before.length + size - 1 }, (_, inversions) => {
      window += (before[inversions] ?? 0) - (before[inversions - size] ?? 0)
      return window / size
    })
  }
  let [below, r] = [0, 0]
  for (const chance of chances) {
    below += chance
    if (below > tail * (1 + 1e-12)) break
    r += 1
  }
  return r
}
