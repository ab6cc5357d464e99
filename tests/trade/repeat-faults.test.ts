// Expected counts by hand from the Weibull survival function. Where counts vary no more than Poisson the Gamma–Poisson fit has
// no finite prior (George, Makov & Smith 1993, Scand. J. Stat. 20:147), so nothing may be called different.
import { describe, expect, test } from 'vitest'
import { gammaQuantile, seededRandom } from '@/lib/science'
import { countFaults, type FaultCount, livesOfLane, rankFaults, repeatFaultWords } from '@/lib/trade'
import { ANNOUNCING_MODE, needsIt, OPENED_MODE, ok, renewed, reported, shallowOk } from './lives/lane-words'

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
  test('a mode that announces itself is watched all the time: reports make as many needs as are expected', () => {
    // By hand: H(50) − H(0) for the life that a report ended on day 50, H(70) − H(0) for the one that runs still.
    const events = [renewed(0), ok(20), reported(52, 50), renewed(60, 'found')]
    const { lives } = livesOfLane({ mode: ANNOUNCING_MODE, events }, { cutoffDay: 130 })
    const counted = countFaults(lives, { shape: 2, scaleDays: 40, announcesItself: true })
    expect(counted.observed).toBe(1)
    expect(counted.expected).toBeCloseTo((50 / 40) ** 2 + (70 / 40) ** 2, 12)
  })
  test('simulated: devices alike whose needs all come by report are expected to show what they show', () => {
    const random = seededRandom(66)
    const model = { shape: 3, scaleDays: 200, announcesItself: true }
    let [observed, expected] = [0, 0]
    for (let device = 0; device < 400; device++) {
      const events = [renewed(0)]
      for (let day = 0; ; ) {
        day += Math.ceil(200 * (-Math.log(1 - random())) ** (1 / 3))
        if (day > 1500) break
        events.push(reported(day, day), renewed(day, 'found'))
      }
      const { lives } = livesOfLane({ mode: ANNOUNCING_MODE, events }, { cutoffDay: 1500 })
      const counted = countFaults(lives, model)
      observed += counted.observed
      expected += counted.expected
    }
    // Days are whole: half a day on 180 and chance.
    expect(Math.abs(observed / expected - 1)).toBeLessThan(0.04)
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
  test('a tank that hardly anybody looked at is taken to be like the others, in words and limits', () => {
    const faults = rankFaults(
      [
        [3, 0.4],
        [0, 0.3],
        [0, 1e-6],
        [0, 2.3],
      ].map(([observed = 0, expected = 0], n) => ({ tank: `t${n}`, observed, expected })),
    )
    const unseen = faults.find(({ tank }) => tank === 't2')
    expect(unseen?.rateRatio).toBeGreaterThan(0.5)
    expect(unseen?.rateRatio).toBeLessThan(2)
    expect(gammaQuantile(unseen?.ratioGamma ?? { shape: 1, rate: 1 }, 0.05)).toBeGreaterThan(0.001)
    expect(faults[0]?.tank).toBe('t0')
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
