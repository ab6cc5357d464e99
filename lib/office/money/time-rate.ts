/** What time costs: a minimum for the first stretch, then by the step begun (common practice, no source). */
import { type DecimalInput, exactDecimal } from './tax'

/** Price of time: the first stretch as a minimum charge, then further steps begun. */
export type TimeRate = {
  firstMinutes: number
  firstPrice: DecimalInput
  stepMinutes: number
  stepPrice: DecimalInput
}

/**
 * A price-list entry by the hour as a rate: the first hour (or other stretch) whole, then by the quarter hour begun.
 * Prices to four decimals, half up. @example hourlyRate('55', {}) // first 60 min 55, then 13.75 for each 15 min
 */
export function hourlyRate(hourlyPrice: DecimalInput, { firstMinutes = 60, stepMinutes = 15 }): TimeRate {
  const priceOf = (minutes: number) =>
    exactDecimal(hourlyPrice, 'hourly price').times(minutes).dividedBy(60).toDecimalPlaces(4).toFixed()
  return { firstMinutes, firstPrice: priceOf(firstMinutes), stepMinutes, stepPrice: priceOf(stepMinutes) }
}

/** Steps begun after the first stretch; 0 when the visit was no longer than that. */
export function furtherSteps(minutes: number, rate: TimeRate): number {
  if (!(rate.stepMinutes > 0)) throw new RangeError(`a step must be longer than 0 minutes, got ${rate.stepMinutes}`)
  return Math.max(0, Math.ceil((minutes - rate.firstMinutes) / rate.stepMinutes))
}
