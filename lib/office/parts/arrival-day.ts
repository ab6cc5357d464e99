/** The day on which an order is expected. Pure. */
import { addDays, asDbDate } from '../frame/days'

const SUNDAY = 0

/**
 * So many days after it was ordered; a Sunday becomes the Monday after it, for hardly anybody delivers on a Sunday (common practice, no source). What is fetched on
 * the day itself is there on that day.
 */
export function arrivalDay(orderedOn: string, leadTimeDays: number): string {
  const day = addDays(orderedOn, leadTimeDays)
  return leadTimeDays > 0 && asDbDate(day).getUTCDay() === SUNDAY ? addDays(day, 1) : day
}
