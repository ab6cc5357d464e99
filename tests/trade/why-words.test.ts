import { describe, expect, test } from 'vitest'
import { chanceByDay, compareWithRoute, medianOfDraws, needChanceWords } from '@/lib/trade'

/** Lives by chance whose medians are these days, all as likely. */
const draws = (...medians: number[]) => medians.map((days) => ({ shape: 1, scale: days / Math.LN2, weight: 0.5 }))

describe('compareWithRoute', () => {
  test.each([
    [[40, 42, 45, 50], 100, /needed at least twice as often .*, almost surely\.$/],
    [[40, 42, 45, 49, 60], 100, /needed at least twice as often .*, probably\.$/],
    [[20, 21, 22], 100, /needed at least 4 times as often/],
    [[160, 170, 210, 220], 100, /lasts at least 1\.5 times as long .*, almost surely\.$/],
    [[95, 100, 105], 100, /about as often .*, almost surely\.$/],
    [[20, 60, 100, 170, 500], 100, /^Too little was seen/],
  ])('medians %j against %d', (medians, route, words) => {
    expect(compareWithRoute(draws(...medians), route)).toMatch(words)
  })
})

test('the chance by a day is read off the band, also before and after it', () => {
  const band = [
    { day: 100, probability: 0.1 },
    { day: 200, probability: 0.5 },
    { day: 300, probability: 0.9 },
  ]
  expect(chanceByDay(band, 150)).toBeCloseTo(0.3)
  expect(chanceByDay(band, 200)).toBeCloseTo(0.5)
  expect(chanceByDay(band, 10)).toBe(0.05)
  expect(chanceByDay(band, 400)).toBe(0.95)
  expect(chanceByDay([], 10)).toBeNull()
  expect(needChanceWords(0.66)).toBe('The chance that it is needed by then is about 2 in 3.')
  expect(needChanceWords(0.01)).toBe('The chance that it is needed by then is less than 1 in 20.')
})

test('median life with its interval', () => {
  const { median, lower, upper } = medianOfDraws(draws(...Array.from({ length: 101 }, (_, i) => 100 + i)))
  expect(lower).toBeCloseTo(105, 0)
  expect(upper).toBeCloseTo(195, 0)
  expect(median).toBeGreaterThan(lower)
  expect(median).toBeLessThan(upper)
})
