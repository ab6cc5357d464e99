// Expected counts by hand from the Weibull survival function. Where counts vary no more than Poisson the Gamma–Poisson fit has
// no finite prior (George, Makov & Smith 1993, Scand. J. Stat. 20:147), so nothing may be called different.
import { describe, expect, test } from 'vitest'
import { countFaults, type FaultCount, livesOfLane, rankFaults, repeatFaultWords } from '@/lib/trade'
import { needsIt, OPENED_MODE, ok, renewed, shallowOk } from './lives/lane-words'

const livesOf = (...events: Parameters<typeof livesOfLane>[0]['events']) =>
  livesOfLane({ mode: OPENED_MODE, events }, { cutoffDay: 10_000 }).lives

describe('what a tank was expected to show', () => {
  test('over its own looks: 1 - S(this look) / S(last ok look)', () => {
    const lives = livesOf(renewed(0), ok(10), shallowOk(15), needsIt(30), renewed(30, 'found'), ok(50))
    const survival = (age: number) => Math.exp(-((age / 40) ** 2))
    const expected = 1 - survival(10) + (1 - survival(30) / survival(10)) + (1 - survival(20))
    expect(countFaults(lives, { shape: 2, scaleDays: 40 }).expected).toBeCloseTo(expected, 12)
    expect(countFaults(lives, { shape: 2, scaleDays: 40 }).observed).toBe(1)
  })
  test('with shape 1 and a single look it is the chance of a need by then, not the cumulative hazard', () => {
    const { expected } = countFaults(livesOf(renewed(0), needsIt(40)), { shape: 1, scaleDays: 40 })
    expect(expected).toBeCloseTo(1 - Math.exp(-1), 12)
  })
  test('a spell of unknown age counts on neither side', () => {
    expect(countFaults(livesOf(ok(0), needsIt(40)), { shape: 1, scaleDays: 40 })).toEqual({ observed: 0, expected: 0 })
  })
  test('a model outside its domain is refused', () => {
    expect(() => countFaults([], { shape: 0, scaleDays: 40 })).toThrow(RangeError)
  })
})

describe('ranking', () => {
  const alike = (count: number): FaultCount[] =>
    Array.from({ length: count }, (_, i) => ({ tank: `tank ${String(i).padStart(2, '0')}`, observed: 3, expected: 3 }))

  test('tanks that differ no more than chance: nothing is sure, the rank follows the p-value, and the words say so', () => {
    const faults = rankFaults([...alike(20), { tank: 'a bit more', observed: 5, expected: 3 }])
    expect(faults.some((fault) => fault.sure || fault.overdispersed)).toBe(false)
    expect(faults[0]).toMatchObject({ tank: 'a bit more', rank: 1 })
    expect(faults[0] && repeatFaultWords(faults[0])).toContain('no more than chance')
  })
  test('one that clogs eight times as often among twenty is sure and first', () => {
    const faults = rankFaults([...alike(20), { tank: 'offender', observed: 24, expected: 3 }])
    expect(faults.filter((fault) => fault.sure).map((fault) => fault.tank)).toEqual(['offender'])
    expect(faults[0]).toMatchObject({ tank: 'offender', rank: 1, overdispersed: true })
  })
  test('the same counts in another order give the same list', () => {
    const counts = [...alike(9), { tank: 'x', observed: 12, expected: 2 }, { tank: 'y', observed: 0, expected: 4 }]
    expect(rankFaults([...counts].reverse())).toEqual(rankFaults(counts))
  })
  test('a tank that nobody looked at is left out; no tanks, no list', () => {
    expect(rankFaults([{ tank: 'unseen', observed: 0, expected: 0 }])).toEqual([])
  })
  test('no need anywhere is no finding', () => {
    expect(rankFaults([{ tank: 'a', observed: 0, expected: 2 }]).every((fault) => !fault.sure)).toBe(true)
  })
})
