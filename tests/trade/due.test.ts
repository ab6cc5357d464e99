// The cost rule itself is tested in the science room. Here: dates, limits and sentences. Conditional quantiles are checked
// against the Weibull survival function; with shape 1 the age does not matter (memorylessness of the exponential).
import { describe, expect, test } from 'vitest'
import { ageAtFirstSight, remainingQuantiles, seededRandom, survivalAt, visitReplacement } from '@/lib/science'
import {
  adviseInterval,
  type DueCosts,
  type DueInput,
  defaultCosts,
  dueOf,
  shareInWords,
  spanInWords,
} from '@/lib/trade'

const costs: DueCosts = { planned: 2000, found: 6000, callOut: 15_000, hiddenCostPerDay: 100, shareReported: 0.1 }
const running = {
  state: 'running',
  originDay: 1000,
  fineUntilDay: 1056,
  needOpenSince: null,
  firstSeenDay: null,
} as const
const wearing: DueInput = {
  model: { shape: 3, scaleDays: 166 },
  lane: running,
  mode: { announcesItself: false },
  taskName: 'General clean',
  visitEveryDays: 14,
  costs,
}

describe('due dates', () => {
  test('the cheapest number of visits after the last renewal', () => {
    const { afterVisits, costRate } = visitReplacement({ shape: 3, scale: 166 }, { visitEvery: 14, ...costs })
    const due = dueOf(wearing)
    expect(due).toMatchObject({ rule: 'cheapest', intervalDays: afterVisits * 14, dueDay: 1000 + afterVisits * 14 })
    expect(due.costPerYear).toBeCloseTo(costRate * 365.25, 8)
    expect(due.costPerYear).toBeLessThan(due.costPerYearWaiting)
  })
  test('the reason is a sentence in words and money; the client reads no odds and no money', () => {
    const { reason, clientWords, intervalDays, costPerYear, costPerYearWaiting } = dueOf(wearing)
    const saved = Math.round((costPerYearWaiting - costPerYear) / 100)
    expect(reason).toBe(
      `At this tank it is needed within 21 weeks every other time; one need in ten reaches the client before we do; every ${intervalDays / 7} weeks is cheapest, about ${saved} a year less than waiting.`,
    )
    expect(clientWords).toBe(`General clean: done about every ${intervalDays / 7} weeks.`)
  })
  test('the band is the life given that it was ok when last seen', () => {
    const { band } = dueOf(wearing)
    const life = { shape: 3, scale: 166 }
    for (const { day, probability } of band) {
      const chance = (at: number) => 1 - survivalAt(life, at - 1000) / survivalAt(life, 56)
      expect(chance(day)).toBeGreaterThanOrEqual(probability - 1e-9)
      expect(chance(day - 1)).toBeLessThan(probability)
    }
    expect(band.map(({ probability }) => probability)).toEqual([0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95])
  })
  test('a mode that announces itself has been silent until the day the lane was read to: the chance counts from there', () => {
    // By hand: S(t) = S(300) · (1 − q), t = 140 · ((300 / 140)³ − ln(1 − q))^(1/3) = 301.1, 306.9 and 321.8 days, rounded up.
    const lane = { ...running, originDay: 1000, fineUntilDay: 1300 }
    const { band, lookByDay } = dueOf({ ...wearing, model: { shape: 3, scaleDays: 140 }, lane })
    const dayOf = (share: number) => band.find(({ probability }) => probability === share)?.day
    expect([lookByDay, dayOf(0.5), dayOf(0.9)]).toEqual([1302, 1307, 1322])
  })
  test('a device that came into sight at an age: met there the likelier the longer such devices last (simulated)', () => {
    // Truth: half of the tanks have lives of scale 100, half of 300, shape 2; devices in a renewal process, looked at on a random day, their beginning confirmed; those met at 120 to 160 days.
    const random = seededRandom(17)
    const draws = { draws: [100, 300].map((scale) => ({ shape: 2, scale, weight: 0.5 })) }
    const met: { age: number; end: number }[] = []
    while (met.length < 4000) {
      const scale = random() < 0.5 ? 100 : 300
      let [start, end] = [0, 0]
      while (end <= 3000) [start, end] = [end, end + scale * Math.sqrt(-Math.log(1 - random()))]
      const age = 3000 - start
      if (age > 120 && age < 160) met.push({ age, end: end - start })
    }
    const lane = { ...running, originDay: 1000, fineUntilDay: 1140, watchedFromAge: 140 }
    const { band } = dueOf({ ...wearing, model: draws, lane })
    const half = (band.find(({ probability }) => probability === 0.5)?.day ?? 0) - 1140
    const share = met.filter(({ age, end }) => end - age <= half).length / met.length
    expect(Math.abs(share - 0.5)).toBeLessThan(0.04)
  })
  test('age unknown: the band is what is left of a life met by chance, not that of a life of the likely age', () => {
    const lane = { ...running, state: 'age_unknown', originDay: null, firstSeenDay: 1010, fineUntilDay: 1024 } as const
    const { band } = dueOf({ ...wearing, lane })
    const [tenth = 0] = remainingQuantiles({ shape: 3, scale: 166 }, 14, [0.1])
    expect(band.find(({ probability }) => probability === 0.1)?.day).toBe(Math.ceil(1024 + tenth))
  })
  test('shape 1: cleaning earlier does not help, and the sentence says so', () => {
    const due = dueOf({ ...wearing, model: { shape: 1, scaleDays: 166 } })
    expect(due).toMatchObject({ rule: 'run-to-failure', dueDay: null, intervalDays: Infinity })
    expect(due.reason).toContain('Cleaning earlier does not help; remove the cause or look more often.')
    expect(due.lookByDay).toBe(Math.ceil(1056 - 166 * Math.log(0.9)))
    expect(due.clientWords).not.toMatch(/half|chance|need in/i)
  })
  test('an age limit overrides run to failure and a later cheapest date', () => {
    const due = dueOf({
      ...wearing,
      model: { shape: 1, scaleDays: 5000 },
      mode: { announcesItself: true, ageLimitWeeks: 104 },
    })
    expect(due).toMatchObject({ rule: 'age-limit', dueDay: 1000 + 728, intervalDays: 728 })
  })
  test('an age limit with the age unknown: find out or replace, at once', () => {
    const lane = { ...running, state: 'age_unknown', originDay: null, firstSeenDay: 1010 } as const
    const input = {
      ...wearing,
      lane,
      model: { shape: 2.5, scaleDays: 5000 },
      mode: { announcesItself: true, ageLimitWeeks: 104 },
    }
    expect(dueOf(input)).toMatchObject({ rule: 'age-limit', dueDay: 1010 })
    const unseen = { ...lane, state: 'never_seen', firstSeenDay: null } as const
    expect(dueOf({ ...input, lane: unseen, inServiceSinceDay: 990 })).toMatchObject({ rule: 'age-limit', dueDay: 990 })
    expect(dueOf({ ...input, lane: unseen })).toMatchObject({ rule: 'never-seen', dueDay: null })
    expect(dueOf({ ...input, saidInstalledDay: 700 })).toMatchObject({ rule: 'age-limit', dueDay: 700 + 728 })
  })
  test('a shorter interval never moves an age limit back, nor takes it away', () => {
    const unknown = { ...running, state: 'age_unknown', originDay: null, firstSeenDay: 1010 } as const
    const unseen = { ...unknown, state: 'never_seen', firstSeenDay: null } as const
    const mode = { announcesItself: true, ageLimitWeeks: 104 }
    const model = { shape: 2.5, scale: 5000 }
    for (const lane of [running, unknown, unseen])
      for (const said of [{}, { saidInstalledDay: 700 }, { inServiceSinceDay: 990 }]) {
        const dueEvery = (inForceDays: number) => {
          const advice = adviseInterval({ life: model, costs, visitEveryDays: 14, limitDays: 728, inForceDays })
          return dueOf({ ...wearing, lane, mode, model: { shape: 2.5, scaleDays: 5000 }, advice, ...said }).dueDay
        }
        const usual = dueEvery(Number.POSITIVE_INFINITY)
        for (const weeks of [1, 26, 78, 103, 104, 200])
          expect([lane.state, said, weeks, dueEvery(weeks * 7) ?? Infinity]).toSatisfy(
            ([, , , day]) => day <= (usual ?? Infinity),
          )
      }
  })
  test('a need that is open is due since the day it came to light', () => {
    const lane = {
      state: 'found',
      originDay: null,
      fineUntilDay: null,
      needOpenSince: 1070,
      firstSeenDay: null,
    } as const
    expect(dueOf({ ...wearing, lane })).toMatchObject({ rule: 'need-open', dueDay: 1070, band: [], lookByDay: null })
  })
  test('age unknown: as old as a life met by chance is that has lasted so long in our sight', () => {
    const lane = {
      state: 'age_unknown',
      originDay: null,
      fineUntilDay: 1024,
      needOpenSince: null,
      firstSeenDay: 1010,
    } as const
    const due = dueOf({ ...wearing, lane })
    const ageThen = ageAtFirstSight({ shape: 3, scale: 166 }, 14)
    expect(due).toMatchObject({ rule: 'age-unknown', dueDay: Math.round(1010 - ageThen + due.intervalDays) })
    expect(due.band).toHaveLength(7)
    expect(due.reason).toContain('When it was last renewed is not known')
  })
  test('the interval that the owner accepted holds, whatever is cheapest; the sentence says what another would save', () => {
    const life = { shape: 3, scale: 166 }
    const advice = adviseInterval({ life, costs, visitEveryDays: 14, inForceDays: 28 })
    const due = dueOf({ ...wearing, advice, intervalSource: 'accepted' })
    expect(due).toMatchObject({ rule: 'cheapest', intervalDays: 28, dueDay: 1028 })
    expect(due.reason).toContain('planned every 4 weeks as you chose.')
    expect(due.reason).toContain(`Every ${advice.cheapestDays / 7} weeks would save about`)
  })
  test('an accepted interval never goes beyond an age limit', () => {
    const question = { life: { shape: 1, scale: 5000 }, costs, visitEveryDays: 14, limitDays: 728 }
    const advice = adviseInterval({ ...question, inForceDays: Infinity })
    expect(advice).toMatchObject({ inForceDays: 728, cheapestDays: 728, proposes: false })
  })
  test('a measured path that crosses earlier brings the date forward, one that crosses later does not', () => {
    const wear = (day: number) => ({ day, words: 'The dose falls to its limit about 3 Mar' })
    const planned = dueOf(wearing).dueDay ?? 0
    expect(dueOf({ ...wearing, wear: wear(planned - 30) })).toMatchObject({ rule: 'wears', dueDay: planned - 30 })
    expect(dueOf({ ...wearing, wear: wear(planned + 30) })).toMatchObject({ rule: 'cheapest', dueDay: planned })
  })
  test('never seen and paused have no date', () => {
    const empty = { originDay: null, fineUntilDay: null, needOpenSince: null, firstSeenDay: null }
    expect(dueOf({ ...wearing, lane: { ...empty, state: 'never_seen' } })).toMatchObject({
      rule: 'never-seen',
      dueDay: null,
    })
    expect(dueOf({ ...wearing, lane: { ...empty, state: 'paused' } })).toMatchObject({
      rule: 'not-watched',
      dueDay: null,
    })
  })
  test('a posterior of one draw is the same as its Weibull', () => {
    const draws = { draws: [{ shape: 3, scale: 166, weight: 1 }] }
    expect(dueOf({ ...wearing, model: draws })).toEqual(dueOf(wearing))
  })
  test('a dearer call-out never makes the interval longer', () => {
    const every = [15_000, 30_000, 60_000].map(
      (callOut) => dueOf({ ...wearing, costs: { ...costs, callOut } }).intervalDays,
    )
    expect([...every].sort((a, b) => b - a)).toEqual(every)
  })
  test('bad input is refused', () => {
    expect(() => dueOf({ ...wearing, visitEveryDays: 0 })).toThrow(RangeError)
    expect(() => dueOf({ ...wearing, model: { shape: -1, scaleDays: 10 } })).toThrow(RangeError)
    expect(() => dueOf({ ...wearing, costs: { ...costs, shareReported: 2 } })).toThrow(RangeError)
  })
})

describe('words', () => {
  test.each([
    [0, 'hardly a need reaches the client before we do'],
    [0.1, 'one need in ten reaches the client before we do'],
    [0.05, 'one need in 20 reaches the client before we do'],
    [0.38, 'four needs in ten reach the client before we do'],
    [0.4, 'four needs in ten reach the client before we do'],
    [0.5, 'five needs in ten reach the client before we do'],
    [0.94, 'nine needs in ten reach the client before we do'],
    [0.95, 'nearly every need reaches the client before we do'],
    [1, 'nearly every need reaches the client before we do'],
  ])('a share of %d', (share, words) => expect(shareInWords(share)).toBe(words))
  test.each([
    [1, '1 day'],
    [7, '7 days'],
    [146.9, '21 weeks'],
  ])('%d days', (days, words) => expect(spanInWords(days)).toBe(words))
  test('starting costs rise from planned to found to call-out', () => {
    const { planned, found, callOut } = defaultCosts({ minutes: 35, announcesItself: false })
    expect(planned).toBeLessThan(found)
    expect(found).toBeLessThan(callOut)
  })
})
