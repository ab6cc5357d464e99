import { Temporal } from '@js-temporal/polyfill'

/** The day at an instant, where the business is: `2026-11-25`. */
export function localDay(at: Date, timeZone: string): string {
  return Temporal.Instant.fromEpochMilliseconds(at.getTime()).toZonedDateTimeISO(timeZone).toPlainDate().toString()
}
