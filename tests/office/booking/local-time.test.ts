import { describe, expect, test } from 'vitest'
import { clockIn, daysOfWeek, instantOf, plannedRange, weekOfDay } from '@/lib/office/booking/local-time'

// Summer time in the United Kingdom begins at 01:00 GMT on the last Sunday of March and ends at 01:00 GMT on the last
// Sunday of October (The Summer Time Order 2002, after Directive 2000/84/EC): 28 March and 31 October 2027.
// In the United States from the second Sunday of March, 02:00, to the first Sunday of November (Energy Policy Act of
// 2005, section 110): 14 March and 7 November 2027.
describe('an hour that does not exist or exists twice is refused in words', () => {
  test.each([
    ['2027-03-28', '01:00', 'Europe/London', 'does not exist'],
    ['2027-03-28', '01:59', 'Europe/London', 'does not exist'],
    ['2027-10-31', '01:30', 'Europe/London', 'happens twice'],
    ['2027-03-14', '02:30', 'America/New_York', 'does not exist'],
    ['2027-11-07', '01:30', 'America/New_York', 'happens twice'],
  ])('%s %s in %s %s', (date, time, timeZone, words) => {
    const answer = instantOf({ date, time, timeZone })
    expect(answer.ok).toBe(false)
    if (!answer.ok) expect(answer.words).toContain(words)
  })

  test.each([
    ['2027-03-28', '00:59', 'Europe/London', '2027-03-28T00:59:00.000Z'],
    ['2027-03-28', '02:00', 'Europe/London', '2027-03-28T01:00:00.000Z'],
    ['2027-10-31', '02:00', 'Europe/London', '2027-10-31T02:00:00.000Z'],
    ['2027-07-01', '09:20', 'Europe/London', '2027-07-01T08:20:00.000Z'],
    ['2027-03-28', '01:30', 'UTC', '2027-03-28T01:30:00.000Z'],
  ])('the hours beside them are taken: %s %s in %s', (date, time, timeZone, instant) => {
    const answer = instantOf({ date, time, timeZone })
    expect(answer.ok && answer.at.toISOString()).toBe(instant)
  })

  test('minutes are minutes on the clock of the wall behind the gap', () => {
    const planned = plannedRange({ date: '2027-03-28', time: '00:30', timeZone: 'Europe/London' }, 60)
    expect(planned.ok && clockIn('Europe/London', planned.range.end)).toBe('02:30')
  })
})

// ISO 8601: a week belongs to the year of its Thursday; 4 January is always in week 1.
describe('ISO weeks', () => {
  test.each([
    ['2026-11-25', '2026-W48'],
    ['2025-12-29', '2026-W01'],
    ['2027-01-03', '2026-W53'],
    ['2027-01-04', '2027-W01'],
    ['2021-01-03', '2020-W53'],
  ])('%s lies in %s', (day, week) => {
    expect(weekOfDay(day)).toBe(week)
    expect(daysOfWeek(week)).toContain(day)
  })

  test('a year of 52 weeks has no week 53', () => {
    expect(daysOfWeek('2027-W53')).toBeNull()
    expect(daysOfWeek('2026-W53')?.[0]).toBe('2026-12-28')
  })
})
