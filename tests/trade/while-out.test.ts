// The figures behind the rule are marked "common practice, no source" where they stand; here the rule itself.
import { describe, expect, test } from 'vitest'
import { whileOut } from '@/lib/trade'

describe('work offered while a device is open', () => {
  test('due within the next two visits: offered, also where it saves nothing', () => {
    expect(whileOut({ dueInDays: 28, intervalDays: 182, plannedMinor: 40_000 }, 14)).toMatchObject({ visits: 2 })
  })
  test('due later: only where the opening saved outweighs the life given away', () => {
    // 42 of 182 days of a piece of work worth 20.00 are 4.62; an opening is worth 8.00.
    expect(whileOut({ dueInDays: 42, intervalDays: 182, plannedMinor: 2000 }, 14)).toEqual({
      visits: 3,
      savedMinor: 338,
    })
    expect(whileOut({ dueInDays: 42, intervalDays: 182, plannedMinor: 20_000 }, 14)).toBeNull()
  })
  test('not in the first half of its interval, and nothing that has no date or is due already', () => {
    expect(whileOut({ dueInDays: 14, intervalDays: 21, plannedMinor: 500 }, 7)).toBeNull()
    expect(whileOut({ dueInDays: null, intervalDays: null, plannedMinor: 500 }, 7)).toBeNull()
    expect(whileOut({ dueInDays: 0, intervalDays: 182, plannedMinor: 500 }, 7)).toBeNull()
  })
  test('a cadence of nothing is refused', () => {
    expect(() => whileOut({ dueInDays: 5, intervalDays: 50, plannedMinor: 1 }, 0)).toThrow(RangeError)
  })
})
