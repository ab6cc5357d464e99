/** What is believed about a mode's life before the business has records of its own. */
import type { WeibullPrior } from '@/lib/science'
import type { FailureMode } from './types'

const DAYS_PER_WEEK = 7
/**
 * How sure the trade is of its own figures, from memory: the scale within a factor of about 4 (nineteen in twenty), the
 * shape within a factor of about 1.8.
 */
const LOG_SCALE_SD = 0.7
const LOG_SHAPE_SD = 0.3

/**
 * Weibull parameters from a mode's median and shape: scale = median / (ln 2)^(1/shape).
 * Units: scale in days. Domain: median and shape above 0.
 * @throws RangeError outside the domain.
 * @example weibullOf({ medianWeeks: 26, shape: 1 }).scaleDays // 262.6 = 182 / ln 2
 */
export function weibullOf(mode: Pick<FailureMode, 'medianWeeks' | 'shape'>): { shape: number; scaleDays: number } {
  const { medianWeeks, shape } = mode
  if (!(medianWeeks > 0 && Number.isFinite(medianWeeks)))
    throw new RangeError(`median must be above 0 weeks, got ${medianWeeks}`)
  if (!(shape > 0 && Number.isFinite(shape))) throw new RangeError(`shape must be above 0, got ${shape}`)
  return { shape, scaleDays: (medianWeeks * DAYS_PER_WEEK) / Math.LN2 ** (1 / shape) }
}

/** The same as a prior on log shape and log scale (scale in days). */
export function priorOf(mode: Pick<FailureMode, 'medianWeeks' | 'shape'>): WeibullPrior {
  const { shape, scaleDays } = weibullOf(mode)
  return {
    logShape: { mean: Math.log(shape), sd: LOG_SHAPE_SD },
    logScale: { mean: Math.log(scaleDays), sd: LOG_SCALE_SD },
  }
}
