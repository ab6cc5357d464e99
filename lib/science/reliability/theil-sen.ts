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
