import { normalCdf } from '@/lib/science/special-functions'
import { checkEventSeries, type Truncation } from './event-history'

export type TrendTest = {
  statistic: number
  /** Two-sided. */
  pValue: number
  /** One-sided, small when the failure rate rises: times between failures shrink. */
  pIncreasing: number
  /** One-sided, small when the failure rate falls. */
  pDecreasing: number
}

export type TrendTestOptions = { end?: number; truncation: Truncation }

function fromNormal(statistic: number): TrendTest {
  return {
    statistic,
    pValue: Math.min(1, 2 * normalCdf(-Math.abs(statistic))),
    pIncreasing: normalCdf(-statistic),
    pDecreasing: normalCdf(statistic),
  }
}

/** Events that carry information: all of them, or without the last where it set the end. */
function informative(events: readonly number[], options: TrendTestOptions, least: number) {
  const series = checkEventSeries(events, options)
  const times = options.truncation === 'failure' ? series.events.slice(0, -1) : series.events
  if (times.length < least) {
    const needed = options.truncation === 'failure' ? least + 1 : least
    throw new RangeError(`at least ${needed} events are needed for this test, got ${events.length}`)
  }
  return { end: series.end, all: series.events, times }
}

/** Laplace's U, (mean event time − end / 2) / (end / √(12 n)): Cox & Lewis 1966, The Statistical Analysis of Series of Events, ch. 3. */
function laplaceStatistic(times: readonly number[], end: number): number {
  const mean = times.reduce((sum, time) => sum + time / end, 0) / times.length
  return (mean - 0.5) * Math.sqrt(12 * times.length)
}

/**
 * Lewis & Robinson's test against any renewal process: Laplace's U divided by the coefficient of variation of the times between events, so that
 * regular wear (which is not Poisson) is not taken for a trend. Needs three events or more. All times equal: no trend, statistic 0.
 * Errors: RangeError on bad input or too few events. Source: Lewis & Robinson 1974, in Reliability and Biometry, SIAM.
 * @example lewisRobinsonTrendTest([30, 55, 75, 90, 100], { truncation: 'failure' }).pIncreasing
 */
export function lewisRobinsonTrendTest(events: readonly number[], options: TrendTestOptions): TrendTest {
  const { end, all, times } = informative(events, options, 2)
  if (all.length < 3) throw new RangeError(`at least 3 events are needed for this test, got ${all.length}`)
  const gaps = all.map((time, index) => time - (all[index - 1] ?? 0))
  const mean = gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length
  const variance = gaps.reduce((sum, gap) => sum + (gap - mean) ** 2, 0) / (gaps.length - 1)
  const variation = Math.sqrt(variance) / mean
  if (variation < 1e-12) return fromNormal(0)
  return fromNormal(laplaceStatistic(times, end) / variation)
}
