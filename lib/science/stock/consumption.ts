import { weightedQuantile } from '@/lib/science/reliability/weighted-quantile'
import { incompleteBeta, incompleteGamma, inverseIncompleteGamma, logGamma } from '@/lib/science/special-functions'
import type { UseInterval } from './level-intervals'

/**
 * How fast something is used up, with how unsure that is. The model: a gamma process. The use of a day has some mean and
 * some coefficient of variation; stretches that do not overlap are independent; nothing flows back. The scale is unknown
 * and given the prior 1/rate, so that any unit and any size of use is treated alike; the daily coefficient of variation
 * has a log-normal prior, which carries the answer while there are only one or two intervals.
 * Source: van Noortwijk 2009, Reliab. Eng. Syst. Saf. 94: 2–21 (gamma process; inverted-gamma scale); the prior on the
 * regularity is our own: common practice, no source.
 */
export type Consumption = {
  /** Use per day: total of the measured stretches over their days; where some only say "at least", the middle of what is known of it. */
  perDay: number
  intervals: number
  days: number
  /** The posterior, one entry per value tried of the shape gained per day (1 / daily coefficient of variation²). */
  parts: readonly Part[]
}
type Part = {
  weight: number
  shapePerDay: number
  /** Posterior of the rate: Gamma(shape, rate). */
  shape: number
  rate: number
  /** Rates that stand for the posterior where stretches only say "at least"; then the closed form does not hold. */
  nodes: readonly { weight: number; rate: number }[]
}

/** Half of all things vary by less than this share of their mean from day to day; nine in ten by 0.16 to 1.5. */
const DAILY_VARIATION = { median: 0.5, sdLog: 0.7 }
const SHAPES = 15
const REACH_SD = 2.5
const RATES = 33
const RATE_TAIL = 1e-6

/**
 * What the use so far says about the use to come. A stretch without use is taken as half of `resolution`, the least that
 * can be read off. Null where no stretch measured a whole use: then nobody can tell.
 * Units: days; use in any one unit. Errors: RangeError for a stretch without days, or a resolution that is not above 0.
 * @example consumptionOf([{ fromDay: 0, toDay: 7, days: 7, use: 14, kind: 'whole' }], 0.5)?.perDay // 2
 */
export function consumptionOf(intervals: readonly UseInterval[], resolution: number): Consumption | null {
  if (!(resolution > 0 && resolution < Infinity)) throw new RangeError(`resolution must be above 0, got ${resolution}`)
  for (const { days, use } of intervals) {
    if (!(days > 0 && days < Infinity)) throw new RangeError(`a stretch must have days, got ${days}`)
    if (!(use >= 0 && use < Infinity)) throw new RangeError(`a use must be 0 or more, got ${use}`)
  }
  const measured = intervals.map((interval) => ({ ...interval, use: Math.max(interval.use, resolution / 2) }))
  const whole = measured.filter(({ kind }) => kind === 'whole')
  if (whole.length === 0) return null
  const atLeast = measured.filter(({ kind }) => kind === 'at-least')
  const days = sum(measured, (interval) => interval.days)
  const parts = Array.from({ length: SHAPES }, (_, place) => {
    const z = -REACH_SD + (2 * REACH_SD * place) / (SHAPES - 1)
    const variation = DAILY_VARIATION.median * Math.exp(DAILY_VARIATION.sdLog * z)
    return partOf(1 / variation ** 2, (-z * z) / 2, whole, atLeast)
  })
  const most = Math.max(...parts.map(({ logWeight }) => logWeight))
  const total = sum(parts, ({ logWeight }) => Math.exp(logWeight - most))
  const kept = weighty(parts.map(({ logWeight, ...part }) => ({ ...part, weight: Math.exp(logWeight - most) / total })))
  const perDay = atLeast.length === 0 ? sum(whole, ({ use }) => use) / days : middleUse(kept)
  return { perDay, intervals: measured.length, days, parts: kept }
}

/** What was found empty had used at least what it held in that time, and often less time than that: its use per day is higher than the sums say. */
function middleUse(parts: readonly Part[]): number {
  const uses = parts.flatMap(({ weight, shapePerDay, nodes }) =>
    nodes.map((node) => ({ value: shapePerDay / node.rate, weight: weight * node.weight })),
  )
  uses.sort((one, other) => one.value - other.value)
  return weightedQuantile(uses, 0.5)
}

/** Those that count, with weights that add up to 1 again: what weighs a hundred-thousandth is not worth its time. */
function weighty<Item extends { weight: number }>(items: readonly Item[]): Item[] {
  const kept = items.filter(({ weight }) => weight > 1e-5)
  const total = sum(kept, ({ weight }) => weight)
  return kept.map((item) => ({ ...item, weight: item.weight / total }))
}

/** One value of the shape per day with its marginal likelihood, the rate integrated out. */
function partOf(shapePerDay: number, logPrior: number, whole: readonly UseInterval[], atLeast: readonly UseInterval[]) {
  const shape = shapePerDay * sum(whole, ({ days }) => days)
  const rate = sum(whole, ({ use }) => use)
  const logUses = sum(whole, ({ days, use }) => (shapePerDay * days - 1) * Math.log(use) - logGamma(shapePerDay * days))
  const part = { shapePerDay, shape, rate }
  if (atLeast.length === 0)
    return { ...part, nodes: [], logWeight: logPrior + logUses + logGamma(shape) - shape * Math.log(rate) }
  // "At least" pulls towards lower rates only, so the posterior of the whole stretches says where to look.
  const [low, high] = [RATE_TAIL, 1 - RATE_TAIL].map((p) => Math.log(inverseIncompleteGamma(shape, p, 'lower') / rate))
  if (low === undefined || high === undefined) throw new Error('two ends were asked for')
  const step = (high - low) / (RATES - 1)
  const nodes = Array.from({ length: RATES }, (_, place) => {
    const logRate = low + step * place
    const value = Math.exp(logRate)
    const reached = sum(atLeast, ({ days, use }) => Math.log(incompleteGamma(shapePerDay * days, value * use).upper))
    return { rate: value, logDensity: shape * logRate - value * rate + reached }
  })
  const most = Math.max(...nodes.map(({ logDensity }) => logDensity))
  const total = sum(nodes, ({ logDensity }) => Math.exp(logDensity - most))
  return {
    ...part,
    nodes: weighty(nodes.map(({ rate, logDensity }) => ({ rate, weight: Math.exp(logDensity - most) / total }))),
    logWeight: logPrior + logUses + most + Math.log(total * step),
  }
}

/**
 * The chance that `available` is enough for `days`: P(use ≤ available). With the rate integrated out, use over the sum of
 * use and the used so far is beta distributed.
 * Units: those of the consumption. Domain: both 0 or more. Errors: RangeError otherwise.
 */
export function chanceLasts(consumption: Consumption, available: number, days: number): number {
  if (!(available >= 0)) throw new RangeError(`what is there must be 0 or more, got ${available}`)
  if (!(days >= 0)) throw new RangeError(`days must be 0 or more, got ${days}`)
  if (days === 0) return 1
  if (available === 0) return 0
  if (available === Infinity) return 1
  return sum(consumption.parts, ({ weight, shapePerDay, shape, rate, nodes }) => {
    const enough =
      nodes.length === 0
        ? incompleteBeta(shapePerDay * days, shape, available / (available + rate))
        : sum(nodes, (node) => node.weight * incompleteGamma(shapePerDay * days, node.rate * available).lower)
    return weight * enough
  })
}

/** Longest span and largest store that are looked at: beyond it "does not run out" is the honest answer. */
const LONGEST_DAYS = 3650

/**
 * In how many days `available` is used up: the day by which it is even odds, and a band that holds it with `level`.
 * Infinity where it lasts longer than ten years. Units: days. Errors: as `chanceLasts`; level between 0 and 1.
 */
export function daysUntilEmpty(
  consumption: Consumption,
  available: number,
  level = 0.9,
): { median: number; lower: number; upper: number } {
  if (!(level > 0 && level < 1)) throw new RangeError(`the level must lie between 0 and 1, got ${level}`)
  const dayAt = (chance: number) =>
    rising((days) => chance - chanceLasts(consumption, available, days), available / consumption.perDay, LONGEST_DAYS)
  return { median: dayAt(0.5), lower: dayAt((1 + level) / 2), upper: dayAt((1 - level) / 2) }
}

/** How much must be there to last `days` with chance `chance`. Units: those of the use. Errors: RangeError outside 0 < chance < 1. */
export function neededFor(consumption: Consumption, days: number, chance: number): number {
  if (!(chance > 0 && chance < 1)) throw new RangeError(`the chance must lie between 0 and 1, got ${chance}`)
  if (!(days >= 0)) throw new RangeError(`days must be 0 or more, got ${days}`)
  if (days === 0) return 0
  const start = consumption.perDay * days
  return rising((available) => chanceLasts(consumption, available, days) - chance, start, start * 1e6)
}

/** Where a rising function crosses 0, to a thousandth; Infinity where it does not before `most`. */
function rising(value: (x: number) => number, start: number, most: number): number {
  let low = 0
  let high = Math.max(start, 1e-9)
  while (value(high) < 0) {
    low = high
    high *= 2
    if (high > most) return Infinity
  }
  for (let i = 0; i < 60 && high - low > 1e-3 * high; i++) {
    const middle = (low + high) / 2
    if (value(middle) < 0) low = middle
    else high = middle
  }
  return (low + high) / 2
}

function sum<Item>(items: readonly Item[], value: (item: Item) => number): number {
  return items.reduce((total, item) => total + value(item), 0)
}
