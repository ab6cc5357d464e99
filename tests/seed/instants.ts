/**
 * The instants at which the demo must be right, Europe/London being its zone: each weekday, month ends, a leap day, both changes of the clock (on the last Sundays of
 * March and October at 01:00 UTC: Directive 2000/84/EC, and the Summer Time Order 2002), New Year, five past midnight and five to it.
 */
export type Instant = { name: string; now: Date }

const at = (name: string, utc: string): Instant => ({ name, now: new Date(utc) })

// The three that `npm test` loads, a file each, so that two can load at once.
/** A Monday just begun, whose date is still Sunday's in UTC. */
export const AFTER_MIDNIGHT = at('five past midnight on a Monday in summer', '2027-06-13T23:05:00Z')
/** A weekend, a month's end and a change of the clock at once. */
export const CLOCK_CHANGE = at('the Sunday on which the clocks go back, a month’s end', '2027-10-31T01:30:00Z')
export const LEAP_DAY = at('a leap day, Tuesday', '2028-02-29T10:00:00Z')

/** All twenty: `npm run prove` loads them. */
export const INSTANTS: readonly Instant[] = [
  AFTER_MIDNIGHT,
  CLOCK_CHANGE,
  LEAP_DAY,
  at('Monday morning', '2026-11-23T09:05:00Z'),
  at('Tuesday noon', '2026-11-24T12:30:00Z'),
  at('Wednesday morning', '2026-11-25T10:30:00Z'),
  at('five past midnight on the first of July, a Thursday', '2027-06-30T23:05:00Z'),
  at('Friday evening', '2026-11-27T18:20:00Z'),
  at('Saturday', '2026-11-28T09:00:00Z'),
  at('Sunday', '2026-11-29T11:00:00Z'),
  at('Thursday afternoon, the last day of the year', '2026-12-31T14:40:00Z'),
  at('five past midnight on New Year’s Day, a Friday', '2027-01-01T00:05:00Z'),
  at('the last day of January, a Sunday', '2027-01-31T16:00:00Z'),
  at('five to midnight on a Friday in winter', '2027-02-26T23:55:00Z'),
  at('the first of a month, a Monday', '2027-03-01T08:40:00Z'),
  at('the night in which the clocks go forward', '2027-03-28T00:30:00Z'),
  at('the Monday after', '2027-03-29T07:45:00Z'),
  at('the last day of April, a Friday', '2027-04-30T14:00:00Z'),
  at('five to midnight on a Wednesday in summer', '2027-07-14T22:55:00Z'),
  at('the last day of a month of 31, a Tuesday', '2027-08-31T10:10:00Z'),
]
