import { expect, test } from 'vitest'
import { isNightIn } from '@/lib/platform/jobs/night'

const HOUR_MS = 60 * 60 * 1000

/** The hours, twenty minutes before each full one, of three days from a moment on at which it is night in a zone. */
const nightsIn = (timeZone: string, from: string) =>
  Array.from({ length: 72 }, (_, hour) => new Date(Date.parse(from) + hour * HOUR_MS)).filter((at) =>
    isNightIn(timeZone, at),
  )

// Zones and their changes of clocks are those of the IANA time zone database that Node carries.
test.each([
  ['Europe/London', '2026-11-24T00:40:00Z', ['2026-11-24T03:40', '2026-11-25T03:40', '2026-11-26T03:40']],
  ['America/Los_Angeles', '2026-11-24T00:40:00Z', ['2026-11-24T11:40', '2026-11-25T11:40', '2026-11-26T11:40']],
  // Half an hour off: twenty to eleven in the evening, ten past the hour there.
  ['Asia/Kolkata', '2026-11-24T00:40:00Z', ['2026-11-24T21:40', '2026-11-25T21:40', '2026-11-26T21:40']],
  // Clocks go forward on 29 March and back on 25 October 2026.
  ['Europe/Paris', '2026-03-28T00:40:00Z', ['2026-03-28T02:40', '2026-03-29T01:40', '2026-03-30T01:40']],
  ['Europe/Paris', '2026-10-24T00:40:00Z', ['2026-10-24T01:40', '2026-10-25T02:40', '2026-10-26T02:40']],
])('%s has one night a day from %s', (timeZone, from, nights) => {
  expect(nightsIn(timeZone, from).map((at) => at.toISOString().slice(0, 16))).toEqual(nights)
})
