import { describe, expect, test } from 'vitest'
import { type Cadence, dueVisits, nearestOpenDay } from '@/lib/office/booking/projection'

// Worked by hand on the calendar of November and December 2026 (25 November is a Wednesday).
const fortnightly: Cadence = {
  everyDays: 14,
  anchorOn: '2026-10-07',
  startsOn: '2026-10-01',
  endsOn: null,
  visitDays: ['2026-11-11'],
}
const WEEKS = ['2026-11-23', '2026-12-20'] as const
const datesOf = (cadence: Cadence) => dueVisits(cadence, ...WEEKS).map((due) => due.date)

describe('what an agreement asks for and nobody has booked', () => {
  test('the beat runs from the last visit', () => {
    expect(datesOf(fortnightly)).toEqual(['2026-11-25', '2026-12-09'])
  })
  test('before the first visit it runs from the anchor', () => {
    expect(datesOf({ ...fortnightly, anchorOn: '2026-12-03', visitDays: [] })).toEqual(['2026-12-03', '2026-12-17'])
  })
  test('a booked visit stands for the due one, and the beat goes on from it', () => {
    expect(datesOf({ ...fortnightly, visitDays: ['2026-11-11', '2026-11-26'] })).toEqual(['2026-12-10'])
  })
  test('a booked visit covers a due one up to half an interval late, and no later', () => {
    const with7DaysLate = { ...fortnightly, visitDays: ['2026-11-11', '2026-12-02'] }
    expect(datesOf(with7DaysLate)).toEqual(['2026-12-16'])
    const with8DaysLate = { ...fortnightly, visitDays: ['2026-11-11', '2026-12-03'] }
    expect(datesOf(with8DaysLate)).toEqual(['2026-11-25', '2026-12-17'])
  })
  test('what is late already is proposed once, for the first day', () => {
    expect(dueVisits({ ...fortnightly, visitDays: ['2026-10-07'] }, ...WEEKS)).toEqual([
      { date: '2026-11-23', dueOn: '2026-10-21' },
      { date: '2026-12-07', dueOn: '2026-12-07' },
    ])
  })
  test('nothing after the agreement ends, nothing before it starts', () => {
    expect(datesOf({ ...fortnightly, endsOn: '2026-12-01' })).toEqual(['2026-11-25'])
    expect(datesOf({ ...fortnightly, startsOn: '2026-12-01' })).toEqual(['2026-12-09'])
  })
  test('a later anchor starts the beat anew', () => {
    expect(datesOf({ ...fortnightly, anchorOn: '2026-11-30' })).toEqual(['2026-11-30', '2026-12-14'])
  })
  test.each([0, -7, 1.5, Number.NaN])('refuses every %d days', (everyDays) => {
    expect(() => dueVisits({ ...fortnightly, everyDays }, ...WEEKS)).toThrow(RangeError)
  })
})

describe('the nearest day on which a site lets us in', () => {
  // 2026-11-29 is a Sunday.
  test.each([
    ['2026-11-29', [7], '2026-11-01', '2026-11-29'],
    ['2026-11-29', [1, 2, 3, 4, 5], '2026-11-01', '2026-11-30'],
    ['2026-11-29', [6, 1], '2026-11-01', '2026-11-28'],
    ['2026-11-29', [6, 2], '2026-11-29', '2026-12-01'],
    ['2026-11-29', [], '2026-11-01', '2026-11-29'],
    ['2026-11-29', [4], '2026-11-27', '2026-11-29'],
  ])('%s with %j, not before %s: %s', (date, weekdays, from, day) => {
    expect(nearestOpenDay(date, new Set(weekdays), from)).toBe(day)
  })
})
