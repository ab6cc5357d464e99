import { type PathPoint, theilSenInterval } from '@/lib/science/reliability/theil-sen'

export type DailyConsumption = {
  /** Middle of the slopes, turned round: above 0 where it is used up. */
  perDay: number
  lower: number
  /** lower and upper are infinite while too few readings tell nothing at this level. */
  upper: number
}

/**
 * How much of something a tank uses a day, from readings and from what was added meanwhile: from each reading all additions before it are taken off; what is left falls along a line, whose slope is Sen's median of pairs, with its
 * distribution-free interval. Readings of one time are averaged; an addition at the time of a reading counts after it (tested first, then dosed).
 * Units: time in days, readings and additions in any one unit (a dose: `riseFor`; a water change: `waterChange` less before; may be below 0). level 0.9 unless given.
 * Assumes an even use over the stretch, additions that are right, and readings whose errors are independent and alike. Four readings are the least for an interval of 0.9, five for 0.95.
 * Errors: RangeError for figures that are no numbers, or fewer than two times. Source: Sen 1968, J. Am. Stat. Assoc. 63: 1379–1389.
 * @example consumptionPerDay({ readings: [{ time: 0, value: 3 }, { time: 2, value: 2.8 }], additions: [{ time: 0, rise: 0.2 }] }).perDay // 0.2
 */
export function consumptionPerDay({
  readings,
  additions,
  level = 0.9,
}: {
  readings: readonly PathPoint[]
  additions: readonly { time: number; rise: number }[]
  level?: number
}): DailyConsumption {
  for (const { time, rise } of additions)
    if (!(Number.isFinite(time) && Number.isFinite(rise)))
      throw new RangeError(`an addition needs a time and a rise that are numbers, got ${time} and ${rise}`)
  const withoutAdditions = readings.map(({ time, value }) => ({
    time,
    value: additions.reduce((left, addition) => (addition.time < time ? left - addition.rise : left), value),
  }))
  const { slope, lower, upper } = theilSenInterval(averaged(withoutAdditions), level)
  return { perDay: 0 - slope, lower: 0 - upper, upper: 0 - lower }
}

function averaged(path: readonly PathPoint[]): PathPoint[] {
  const byTime = new Map<number, number[]>()
  for (const { time, value } of path) byTime.set(time, [...(byTime.get(time) ?? []), value])
  return [...byTime].map(([time, values]) => ({
    time,
    value: values.reduce((sum, value) => sum + value, 0) / values.length,
  }))
}
