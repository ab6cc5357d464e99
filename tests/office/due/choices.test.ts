import { describe, expect, test } from 'vitest'
import { choicesFor } from '@/lib/office/lanes/read-choices'

// Newest first, as they are read.
const said = (failureMode: string | null, intervalDays: number | null, decision = 'accepted') => ({
  ...{ failureMode, intervalDays, decision, day: 100 },
})

describe('what the owner said of one fault of a piece of work', () => {
  test('is the newest word on it, or on all faults of the work', () => {
    expect(choicesFor('a', [])).toEqual({})
    expect(choicesFor('a', [said('a', 70), said('a', 140)])).toEqual({ acceptedDays: 70 })
    expect(choicesFor('a', [said(null, 84), said('a', 140)])).toEqual({ acceptedDays: 84 })
    expect(choicesFor('a', [said('a', null)])).toEqual({ acceptedDays: Number.POSITIVE_INFINITY })
  })
  test('waiting for another fault does not take its date away; a shorter interval of another is kept to', () => {
    expect(choicesFor('b', [said('a', null)])).toEqual({ atMostDays: Number.POSITIVE_INFINITY })
    expect(choicesFor('b', [said('a', 56)])).toEqual({ atMostDays: 56 })
  })
  test('a word on all faults ends what was said of any of them before', () => {
    expect(choicesFor('b', [said(null, 182), said('a', 56)])).toEqual({ acceptedDays: 182 })
    expect(choicesFor('b', [said('a', 56), said(null, 182)])).toEqual({ acceptedDays: 182, atMostDays: 56 })
  })
  test('what was declined for one fault is asked of the other', () => {
    const rows = [said('a', 70, 'declined')]
    expect(choicesFor('a', rows)).toEqual({ declinedDays: 70, declinedDay: 100 })
    expect(choicesFor('b', rows)).toEqual({})
  })
})
