/** A point of the band that the lanes chart draws. */
export type BandPoint = { date: string; probability: number }

const MS_PER_DAY = 86_400_000
const POINTS = 24

const isoOf = (day: number) => new Date(Math.round(day) * MS_PER_DAY).toISOString().slice(0, 10)

/**
 * Turns the rising chance "needed by this day" (a few quantiles, days since 1970-01-01) into a density relative to its
 * highest point, which is what a swelling band draws. Between two quantiles the chance is taken to rise evenly; the edges
 * are smoothed by a three-point mean. Empty in, empty out.
 */
export function bandDensity(quantiles: readonly { day: number; probability: number }[]): BandPoint[] {
  const first = quantiles[0]
  const last = quantiles.at(-1)
  if (!first || !last || last.day <= first.day) return []
  const start = first.day - (first.day === last.day ? 0 : 1)
  const step = (last.day - start) / POINTS
  const chanceBy = (day: number): number => {
    if (day <= start) return 0
    let before = { day: start, probability: 0 }
    for (const point of quantiles) {
      if (day <= point.day) {
        const share = point.day === before.day ? 1 : (day - before.day) / (point.day - before.day)
        return before.probability + share * (point.probability - before.probability)
      }
      before = point
    }
    return before.probability
  }
  const raw = Array.from({ length: POINTS }, (_, i) => chanceBy(start + (i + 1) * step) - chanceBy(start + i * step))
  const smooth = raw.map((value, i) => ((raw[i - 1] ?? value / 2) + value + (raw[i + 1] ?? value / 2)) / 3)
  const highest = Math.max(...smooth)
  if (!(highest > 0)) return []
  return smooth.map((value, i) => ({ date: isoOf(start + (i + 0.5) * step), probability: value / highest }))
}
