import { describe, expect, test } from 'vitest'
import { closedWords } from '@/lib/office/clients/access-windows'

// 30 November 2026 is a Monday (Gregorian calendar).
const MONDAY = '2026-11-30'
const TUESDAY = '2026-12-01'
const SUNDAY = '2026-12-06'
const windows = [
  { weekdays: ['1', '3', '5'] as ('1' | '3' | '5')[], from: '07:30', to: '09:00' },
  { weekdays: ['7'] as '7'[], from: '14:00', to: '16:00' },
]
const at = (date: string, start = '', end = '') => closedWords(windows, { date, start, end })

describe('whether somebody lets us in', () => {
  test('on a day and at a time that are agreed', () => {
    for (const words of [at(MONDAY), at(MONDAY, '07:30'), at(MONDAY, '07:30', '09:00'), at(SUNDAY, '14:30', '15:15')])
      expect(words).toBeNull()
  })
  test('a day without a time is closed, and the words say when it is open', () => {
    expect(at(TUESDAY)).toBe('Not on Tuesdays. We may come in Mon, Wed, Fri 07:30–09:00; Sun 14:00–16:00.')
    expect(at(TUESDAY, '08:00')).toContain('Not on Tuesdays.')
  })
  test('a time outside, or one that goes on too long', () => {
    expect(at(MONDAY, '11:00', '11:45')).toContain('Not from 11:00 to 11:45.')
    expect(at(MONDAY, '11:00')).toContain('Not at 11:00.')
    expect(at(MONDAY, '08:30', '09:15')).toContain('Not from 08:30 to 09:15.')
    expect(at(SUNDAY, '08:00')).toContain('Not at 08:00.')
  })
  test('where nothing is agreed, nobody is in the way', () => {
    expect(closedWords([], { date: TUESDAY, start: '03:00', end: '' })).toBeNull()
  })
})
