/** The hour of the night's work where a business is: after the clocks have changed, long before anybody starts a round. */
const NIGHT_HOUR = 3

/**
 * Whether the hour of the night's work has come in this zone. Of each day there is exactly one such hour: clocks skip or repeat an
 * earlier one.
 */
export function isNightIn(timeZone: string, now: Date): boolean {
  const hour = new Intl.DateTimeFormat('en-GB', { timeZone, hour: '2-digit', hourCycle: 'h23' }).format(now)
  return Number(hour) === NIGHT_HOUR
}
