/** The first sentences of a Why page: how this tank compares, and how likely the need is. */
import { conditionalQuantile, type LifeMixture } from '@/lib/science'
import { certaintyOf, chanceInWords, PROBABLE, timesInWords } from './certainty'

/** Ratios worth saying, largest first. */
const STEPS = [4, 3, 2, 1.5, 1.2] as const

/**
 * How a tank's own life compares with a typical tank of the route, by the median: the largest round ratio that holds at least probably.
 * `draws` of the tank's posterior, `routeMedianDays` of a typical tank; both in days. Weights above 0.
 * @example compareWithRoute(draws, 180) // 'Here it is needed at least twice as often as at a typical tank of the route, almost surely.'
 */
export function compareWithRoute(draws: LifeMixture['draws'], routeMedianDays: number): string {
  const total = draws.reduce((sum, { weight }) => sum + weight, 0)
  const medians = draws.map(({ shape, scale, weight }) => ({ days: scale * Math.LN2 ** (1 / shape), weight }))
  const chanceOf = (holds: (days: number) => boolean) =>
    medians.reduce((sum, { days, weight }) => sum + (holds(days) ? weight / total : 0), 0)
  for (const step of STEPS) {
    const sooner = chanceOf((days) => days * step <= routeMedianDays)
    if (sooner >= PROBABLE)
      return `Here it is needed at least ${timesInWords(step)} as often as at a typical tank of the route, ${certaintyOf(sooner)}.`
    const later = chanceOf((days) => days >= routeMedianDays * step)
    if (later >= PROBABLE)
      return `Here it lasts at least ${timesInWords(step)} as long as at a typical tank of the route, ${certaintyOf(later)}.`
  }
  const alike = chanceOf((days) => days * 1.5 > routeMedianDays && days < routeMedianDays * 1.5)
  return alike >= PROBABLE
    ? `Here it comes about as often as at a typical tank of the route, ${certaintyOf(alike)}.`
    : 'Too little was seen here yet to tell this tank from a typical one of the route.'
}

/** The chance that the need has come by a day, read off the band of a due date; null where the band does not say. */
export function chanceByDay(band: readonly { day: number; probability: number }[], day: number): number | null {
  const first = band[0]
  const last = band.at(-1)
  if (!first || !last) return null
  if (day < first.day) return first.probability / 2
  if (day >= last.day) return (1 + last.probability) / 2
  const after = band.findIndex((point) => point.day > day)
  const [left, right] = [band[after - 1], band[after]]
  if (!left || !right) return null
  return left.probability + ((right.probability - left.probability) * (day - left.day)) / (right.day - left.day)
}

/** "The chance that it is needed by then is about 2 in 3." `isPast`: the day was before today, so the chance is that of now. */
export function needChanceWords(chance: number, { isPast = false }: { isPast?: boolean } = {}): string {
  const words = chanceInWords(chance)
  return `The chance that it is needed by ${isPast ? 'now' : 'then'} is ${/than/.test(words) ? words : `about ${words}`}.`
}

/** Median life in days with its 90 % interval from weighted draws. */
export function medianOfDraws(draws: LifeMixture['draws']): { median: number; lower: number; upper: number } {
  const sorted = draws
    .map(({ shape, scale, weight }) => ({ days: scale * Math.LN2 ** (1 / shape), weight }))
    .sort((one, other) => one.days - other.days)
  const total = sorted.reduce((sum, { weight }) => sum + weight, 0)
  const at = (share: number) => {
    let reached = 0
    for (const { days, weight } of sorted) {
      reached += weight
      if (reached >= share * total) return days
    }
    return sorted.at(-1)?.days ?? Number.NaN
  }
  if (sorted.length === 0) throw new RangeError('at least one draw is needed')
  return { median: conditionalQuantile({ draws }, 0, 0.5, { within: 0.25 }), lower: at(0.05), upper: at(0.95) }
}
