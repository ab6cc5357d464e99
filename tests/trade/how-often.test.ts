import { describe, expect, test } from 'vitest'
import { fitDelayTime } from '@/lib/science'
import {
  cadenceInWords,
  costOfVisitEvery,
  DELAY_PRIOR,
  gapsOfTank,
  howOften,
  missingForHowOften,
  visitingCosts,
} from '@/lib/trade'

const pounds = (minor: number) => `£${Math.round(minor / 100)}`

describe('gapsOfTank', () => {
  test('counts a need once, by the stretch in which it came to light, and apart from failures', () => {
    const gaps = gapsOfTank(
      [0, 14, 28, 42],
      [
        { lane: 'a', day: 0, kind: 'found' }, // before the first stretch
        { lane: 'a', day: 0, kind: 'renewed' },
        { lane: 'b', day: 14, kind: 'found' },
        { lane: 'a', day: 20, kind: 'reported' },
        { lane: 'a', day: 21, kind: 'found' }, // the call-out saw what was reported: the same need
        { lane: 'a', day: 21, kind: 'renewed' },
        { lane: 'b', day: 28, kind: 'found' }, // still open since day 14
        { lane: 'a', day: 28, kind: 'failed' },
        { lane: 'b', day: 28, kind: 'renewed' },
        { lane: 'b', day: 42, kind: 'found' },
        { lane: 'c', day: 50, kind: 'reported' }, // after the last visit
      ],
    )
    expect(gaps).toEqual([
      { fromDay: 0, toDay: 14, length: 14, found: 1, failed: 0 },
      { fromDay: 14, toDay: 28, length: 14, found: 0, failed: 2 },
      { fromDay: 28, toDay: 42, length: 14, found: 1, failed: 0 },
    ])
    expect(gapsOfTank([5], [])).toEqual([])
  })
})

describe('costOfVisitEvery', () => {
  // Worked optimum of the delay-time model (Christer & Waller 1984; figures of tests/science/reliability/replacement.test.ts): defects 0.05 a day, mean delay 14 days, costs 25, 60
  // and 400 give every 7.67 days at 10.17 a day.
  test('the worked optimum is the cheapest of its neighbours', () => {
    const truth = { defectRate: 0.05, meanDelay: 14 }
    const costs = { visit: 25, defect: 60, failure: 400 }
    // Interval and cost: the table of tests/science/reliability/replacement.test.ts, with its source.
    const best = { interval: 7.66971722582 }
    const { options, present } = costOfVisitEvery([{ ...truth, weight: 1 }], costs, best.interval, [5, 7, 9, 14])
    expect(present.mean).toBeCloseTo(10.1706146979 * 365.25, 5)
    for (const option of options) if (option !== present) expect(option.mean).toBeGreaterThan(present.mean)
    expect(present.chanceCheapest).toBe(1)
  })
})

describe('howOften', () => {
  const unitOf = (found: number, failed: number, every: number) =>
    fitDelayTime(
      Array.from({ length: 20 }, (_, i) => ({
        unit: `tank ${i}`,
        gaps: Array.from({ length: 26 }, (_, j) => ({
          length: every,
          found: j < found ? 1 : 0,
          failed: j < failed ? 1 : 0,
        })),
      })),
      DELAY_PRIOR,
    ).units[0]
  const costs = visitingCosts({ visitMinutes: 45, found: 4200, callOut: 13_000, client: null })

  test('a tank that hardly ever fails need not be seen every week', () => {
    const unit = unitOf(6, 0, 7)
    if (!unit) throw new Error('no unit')
    const answer = howOften(unit, costs, 7, pounds)
    expect(answer.change).toBe(true)
    expect(answer.cheapest.days).toBe(28)
    expect(answer.sentence).toMatch(
      /^Every four weeks would cost about £\d+ less a year than every week, with .*; we are more than 19 in 20 sure that it is cheaper as long as a failure costs you less than £\d+\.$/,
    )
  })

  test('at the break-even cost of a failure the two cadences cost the same', () => {
    const unit = unitOf(6, 0, 7)
    if (!unit) throw new Error('no unit')
    const failure = howOften(unit, costs, 7, pounds).breakEvenFailure ?? 0
    expect(failure).toBeGreaterThan(costs.failure)
    const { present, options } = costOfVisitEvery(unit.draws, { ...costs, failure }, 7)
    expect(options.find(({ days }) => days === 28)?.mean).toBeCloseTo(present.mean, 4)
  })

  test('where nearly every defect has failed by the next visit and failures are dear, weekly pays', () => {
    const unit = unitOf(8, 16, 28)
    if (!unit) throw new Error('no unit')
    const dear = visitingCosts({
      visitMinutes: 45,
      found: 4200,
      callOut: 13_000,
      client: { travelMinor: 1600, goodwillMinor: 20_000, animalsPerDayMinor: 30_000 },
    })
    const answer = howOften(unit, dear, 28, pounds)
    expect(answer.cheapest.days).toBeLessThan(28)
    expect(answer.change).toBe(true)
    expect(answer.present.failures).toBeGreaterThan(answer.cheapest.failures)
  })

  test('the present cadence is always among the choices, and says so where it is right', () => {
    const unit = unitOf(6, 2, 21)
    if (!unit) throw new Error('no unit')
    // One failure at about £830 makes three weeks the model's own optimum for this tank.
    const { options, present, sentence } = howOften(unit, { ...costs, failure: 83_000 }, 21, pounds)
    expect(options.map(({ days }) => days)).toEqual([7, 14, 21, 28])
    expect(present.days).toBe(21)
    expect(sentence).toMatch(/^Every three weeks is about right: every week about £\d+ more a year, .* sure/)
    for (const { lower, mean, upper } of options) {
      expect(lower).toBeLessThan(mean)
      expect(mean).toBeLessThan(upper)
    }
  })
})

test('says what is missing before it answers', () => {
  expect(missingForHowOften({ found: 100, failed: 2 })).toMatch(/^Only 2 of the 5 failures/)
  expect(missingForHowOften({ found: 3, failed: 9 })).toMatch(/^Only 3 of the 20 needs/)
  expect(missingForHowOften({ found: 30, failed: 9 })).toBeNull()
})

test.each([
  [7, 'every week'],
  [14, 'every two weeks'],
  [10, 'every 10 days'],
  [84, 'every 12 weeks'],
])('%d days is %s', (days, words) => expect(cadenceInWords(days)).toBe(words))
