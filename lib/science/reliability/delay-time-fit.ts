import { shareFailingAt } from './delay-time'
import { gammaMixtureQuantiles } from './gamma-mixture'
import { fitRateSpread, rateParts } from './rate-spread'
import { weightedQuantile } from './weighted-quantile'

/** A stretch between two inspections: how many defects the second one found, and how many had become failures by then. */
export type InspectionGap = { length: number; found: number; failed: number }
export type InspectedUnit = { unit: string; gaps: readonly InspectionGap[] }

export type DelayTimeDraw = { defectRate: number; meanDelay: number; weight: number }
export type CentralInterval = { median: number; lower: number; upper: number }

export type DelayTimeFit = {
  /** From a defect that an inspection could find to the failure, common to all units. */
  meanDelay: CentralInterval
  found: number
  failed: number
  exposure: number
  units: {
    unit: string
    found: number
    failed: number
    exposure: number
    defectRate: CentralInterval
    /** Equal weights; rate and delay are independent given the data. */
    draws: DelayTimeDraw[]
  }[]
}

/** Median and standard deviation of the log of the mean delay, log normal. */
export type MeanDelayPrior = { median: number; sdOfLog: number }

const DELAY_POINTS = 241
const DELAY_REACH = 5
const NODES = 20

/**
 * Posterior of the delay-time model from counts between inspections. Defects arise in unit i at a constant rate λᵢ and fail after an exponential delay of mean m; an inspection
 * finds all that are there. Over a gap T the failures are Poisson with mean λT·b(T/m) and the defects found with λT·(1 − b), independent of each other, so the likelihood falls apart:
 * the total of a unit is Poisson(λᵢ ΣT), and the share failed tells of m alone. m: one for all units, log-normal prior, on a grid. λᵢ ~ Gamma with a flat
 * prior on the log of its mean and `RATE_SPREAD_PRIOR` on its spread, so that a unit with little of its own leans on the others.
 * Units: any one of time. Level: of the intervals, 0.9 unless given. Domain: lengths above 0, counts whole, at least one gap a unit. Errors: RangeError.
 * Source: Christer & Waller 1984, J. Oper. Res. Soc. 35: 401–406 (model); Baker & Wang 1991, IMA J. Math. Appl. Bus. Ind. 3: 281–299 (estimation from such records; from memory).
 * @example fitDelayTime([{ unit: 'a', gaps: [{ length: 14, found: 1, failed: 0 }] }], { median: 56, sdOfLog: 1.2 }).meanDelay.median
 */
export function fitDelayTime(
  units: readonly InspectedUnit[],
  prior: MeanDelayPrior,
  { level = 0.9 }: { level?: number } = {},
): DelayTimeFit {
  if (units.length === 0) throw new RangeError('at least one unit is needed')
  if (!(prior.median > 0 && prior.median < Infinity)) throw new RangeError('the prior median must be above 0')
  if (!(prior.sdOfLog > 0 && prior.sdOfLog < 10)) throw new RangeError('sdOfLog must be above 0 and below 10')
  if (!(level > 0 && level < 1)) throw new RangeError(`level must lie between 0 and 1, got ${level}`)
  const totals = units.map(totalsOf)
  const delays = delayPosterior(units, prior)
  const spread = fitRateSpread(totals.map(({ found, failed, exposure }) => ({ count: found + failed, exposure })))
  const partsOf = ({ found, failed, exposure }: Totals) => rateParts(spread, { count: found + failed, exposure })
  const delayNodes = nodes((share) => gridQuantile(delays, share))
  const tails = [0.5, (1 - level) / 2, (1 + level) / 2] as const
  const central = (quantile: (share: number) => number): CentralInterval => {
    const [median, lower, upper] = tails
    return { median: quantile(median), lower: quantile(lower), upper: quantile(upper) }
  }
  return {
    meanDelay: central((share) => gridQuantile(delays, share)),
    found: sum(totals, ({ found }) => found),
    failed: sum(totals, ({ failed }) => failed),
    exposure: sum(totals, ({ exposure }) => exposure),
    units: totals.map((unit) => {
      const shares = [...tails, ...nodes((share) => share)]
      const [median = 0, lower = 0, upper = 0, ...rates] = gammaMixtureQuantiles(partsOf(unit), shares)
      const weight = 1 / (NODES * NODES)
      const draws = rates.flatMap((defectRate) => delayNodes.map((meanDelay) => ({ defectRate, meanDelay, weight })))
      return { ...unit, defectRate: { median, lower, upper }, draws }
    }),
  }
}

export type InspectionOption = {
  interval: number
  /** Cost per unit of time over the draws. */
  mean: number
  lower: number
  upper: number
  /** Mean number of failures per unit of time. */
  failures: number
  /** Weight of the draws in which this interval is the cheapest of those offered. */
  chanceCheapest: number
  /** Weight of the draws in which it is cheaper than the first interval offered; 0 for that one. */
  chanceCheaperThanFirst: number
}

/**
 * Cost rates of some inspection intervals under the doubt of a fit: (inspection + λT·(failure·b + defect·(1 − b))) / T in every draw, as in `optimalInspectionInterval`.
 * Units: those of the draws. Interval from the 5th to the 95th weighted percentile unless `level` says otherwise. Errors: RangeError outside the domain.
 * @example inspectionOptions([{ defectRate: 0.02, meanDelay: 60, weight: 1 }], { inspection: 40, defect: 120, failure: 600 }, [7, 14, 28])
 */
export function inspectionOptions(
  draws: readonly DelayTimeDraw[],
  { inspection, defect, failure }: { inspection: number; defect: number; failure: number },
  intervals: readonly number[],
  { level = 0.9 }: { level?: number } = {},
): InspectionOption[] {
  if (draws.length === 0 || intervals.length === 0) throw new RangeError('draws and intervals are needed')
  for (const [name, value] of Object.entries({ inspection, defect, failure }))
    if (!(value >= 0 && value < Infinity)) throw new RangeError(`${name} must be a number of 0 or more, got ${value}`)
  for (const interval of intervals)
    if (!(interval > 0 && interval < Infinity)) throw new RangeError(`an interval must be above 0, got ${interval}`)
  const total = sum(draws, ({ weight }) => weight)
  const table = intervals.map((interval) =>
    draws.map(({ defectRate, meanDelay, weight }) => {
      const failing = shareFailingAt(interval / meanDelay)
      const cost = inspection / interval + defectRate * (failure * failing + defect * (1 - failing))
      return { cost, failures: defectRate * failing, weight: weight / total }
    }),
  )
  const cheapest = draws.map((_, draw) =>
    table.reduce((best, row, i) => ((row[draw]?.cost ?? 0) < (table[best]?.[draw]?.cost ?? 0) ? i : best), 0),
  )
  const weightWhere = (holds: (draw: number) => boolean) =>
    Math.min(
      1,
      draws.reduce((share, { weight }, draw) => share + (holds(draw) ? weight / total : 0), 0),
    )
  return table.map((row, i) => {
    const rising = row.map(({ cost: value, weight }) => ({ value, weight })).sort((a, b) => a.value - b.value)
    return {
      interval: intervals[i] ?? 0,
      mean: sum(row, ({ cost, weight }) => cost * weight),
      lower: weightedQuantile(rising, (1 - level) / 2),
      upper: weightedQuantile(rising, (1 + level) / 2),
      failures: sum(row, ({ failures, weight }) => failures * weight),
      chanceCheapest: weightWhere((draw) => cheapest[draw] === i),
      chanceCheaperThanFirst: weightWhere((draw) => (row[draw]?.cost ?? 0) < (table[0]?.[draw]?.cost ?? 0)),
    }
  })
}

type Totals = { unit: string; found: number; failed: number; exposure: number }

function totalsOf({ unit, gaps }: InspectedUnit): Totals {
  if (gaps.length === 0) throw new RangeError(`${unit}: at least one gap between inspections is needed`)
  for (const { length, found, failed } of gaps) {
    if (!(length > 0 && length < Infinity)) throw new RangeError(`${unit}: a gap must be longer than 0, got ${length}`)
    for (const count of [found, failed])
      if (!(Number.isInteger(count) && count >= 0))
        throw new RangeError(`${unit}: counts must be whole numbers from 0, got ${count}`)
  }
  return {
    unit,
    found: sum(gaps, ({ found }) => found),
    failed: sum(gaps, ({ failed }) => failed),
    exposure: sum(gaps, ({ length }) => length),
  }
}

type Grid = { at: number; weight: number }[]

/** Posterior of the mean delay: the prior times b^failed · (1 − b)^found over all gaps, gaps of one length taken together. */
function delayPosterior(units: readonly InspectedUnit[], { median, sdOfLog }: MeanDelayPrior): Grid {
  const byLength = new Map<number, { found: number; failed: number }>()
  for (const { gaps } of units)
    for (const { length, found, failed } of gaps) {
      const known = byLength.get(length) ?? { found: 0, failed: 0 }
      byLength.set(length, { found: known.found + found, failed: known.failed + failed })
    }
  return normalised(
    Array.from({ length: DELAY_POINTS }, (_, i) => {
      const z = DELAY_REACH * ((2 * i) / (DELAY_POINTS - 1) - 1)
      const at = median * Math.exp(sdOfLog * z)
      let log = -(z * z) / 2
      for (const [length, { found, failed }] of byLength) {
        const x = length / at
        if (failed > 0) log += failed * Math.log(shareFailingAt(x))
        if (found > 0) log += found * Math.log(-Math.expm1(-x) / x)
      }
      return { at, log }
    }),
  )
}

function normalised(points: { at: number; log: number }[]): Grid {
  const top = Math.max(...points.map(({ log }) => log))
  const raw = points.map(({ at, log }) => ({ at, weight: Math.exp(log - top) }))
  const total = sum(raw, ({ weight }) => weight)
  return raw.map(({ at, weight }) => ({ at, weight: weight / total }))
}

/** Quantile of a grid whose points stand for equal stretches of the log. */
function gridQuantile(grid: Grid, share: number): number {
  let reached = 0
  for (const [i, { at, weight }] of grid.entries()) {
    if (reached + weight >= share) {
      const step = Math.log((grid[i + 1] ?? grid[i])?.at ?? at) - Math.log((grid[i - 1] ?? grid[i])?.at ?? at)
      const half = grid[i - 1] && grid[i + 1] ? step / 4 : 0
      return at * Math.exp(half * (2 * ((share - reached) / weight) - 1))
    }
    reached += weight
  }
  return grid.at(-1)?.at ?? Number.POSITIVE_INFINITY
}

const nodes = (quantile: (share: number) => number) =>
  Array.from({ length: NODES }, (_, i) => quantile((i + 0.5) / NODES))

function sum<T>(items: readonly T[], value: (item: T) => number): number {
  return items.reduce((total, item) => total + value(item), 0)
}
