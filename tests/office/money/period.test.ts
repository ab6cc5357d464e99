import { describe, expect, test } from 'vitest'
import { readPeriod } from '@/lib/office/money/period'

describe('a period as asked for in an address', () => {
  test('days of the calendar in their order are taken; blank ones stay open', () => {
    expect(readPeriod({ from: '2026-11-01', to: '2026-11-30' })).toEqual({
      from: '2026-11-01',
      to: '2026-11-30',
      words: null,
    })
    expect(readPeriod({ from: '', to: '2028-02-29' })).toEqual({ to: '2028-02-29', words: null })
    expect(readPeriod({})).toEqual({ words: null })
  })

  // Gregorian calendar: November has 30 days, 2026 is no leap year.
  test.each([
    [{ from: '2026-11-01', to: '2026-11-31' }, '2026-11-31 is not in the calendar.'],
    [{ from: '2026-02-29' }, '2026-02-29 is not in the calendar.'],
    [{ from: 'last week' }, 'last week is not in the calendar.'],
    [{ from: '2026-11-30', to: '2026-11-01' }, 'The period ends before it begins.'],
  ])('%o is refused in words, and nothing else is shown in its place', (asked, words) => {
    const read = readPeriod(asked)
    expect(read.words).toContain(words)
    expect([read.from, read.to]).toEqual([undefined, undefined])
  })
})
