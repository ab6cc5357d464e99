// The formula is checked in the science room (against Barlow & Proschan's age replacement and by simulation). Here: the choice among steps,
// the floor, the limit, and by simulation that the saving promised is the saving that comes.
import { describe, expect, test } from 'vitest'
import { visitReplacement } from '@/lib/science'
import { seededRandom } from '@/lib/science/seeded-random'
import { adviseInterval, type DueCosts, plannedVisits, SMALLEST_SAVING_MINOR, startingIntervalDays } from '@/lib/trade'

const costs: DueCosts = { planned: 2000, found: 6000, callOut: 15_000, hiddenCostPerDay: 100, shareReported: 0.1 }
const question = { life: { shape: 3, scale: 166 }, costs, visitEveryDays: 14 }

describe('the cheapest step', () => {
  test('costs at most 3 % more than the cheapest whole number of visits, over 300 lives and costs', () => {
    const random = seededRandom(8)
    for (let run = 0; run < 300; run++) {
      const life = { shape: 1.05 + 4 * random(), scale: 30 + 900 * random() }
      const visitEveryDays = [7, 14, 28][run % 3] ?? 14
      const planned = 500 + 5000 * random()
      const own = { ...costs, planned, found: planned * (1 + 3 * random()), callOut: planned * (2 + 5 * random()) }
      const advice = adviseInterval({ life, costs: own, visitEveryDays, inForceDays: Infinity })
      const best = visitReplacement(life, { visitEvery: visitEveryDays, ...own })
      const floor = SMALLEST_SAVING_MINOR + best.costRate * 365.25 * 0.03
      expect(advice.costPerYearCheapest - best.costRate * 365.25).toBeLessThan(floor)
      expect(advice.costPerYearCheapest).toBeGreaterThan(best.costRate * 365.25 * (1 - 1e-9))
    }
  })
  test('steps are whole visits, each once', () => {
    expect(plannedVisits(28, 400)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13])
    expect(plannedVisits(14, 10)).toEqual([1])
  })
  test('by chance (shape 1) nothing is gained by renewing early: only when needed', () => {
    expect(startingIntervalDays({ ...question, life: { shape: 1, scale: 166 } })).toBe(Infinity)
  })
  test('a saving of less than five minutes of work a year is not worth a date', () => {
    const cheap = { planned: 100, found: 120, callOut: 130, hiddenCostPerDay: 0, shareReported: 0.1 }
    expect(startingIntervalDays({ ...question, costs: cheap })).toBe(Infinity)
  })
  test('a draw of every kind: the answer does not lean on the order of draws', () => {
    const draws = [
      { shape: 2.5, scale: 150, weight: 0.5 },
      { shape: 3.5, scale: 190, weight: 0.5 },
    ]
    const one = adviseInterval({ ...question, life: { draws }, inForceDays: 28 })
    const other = adviseInterval({ ...question, life: { draws: [...draws].reverse() }, inForceDays: 28 })
    expect(other.cheapestDays).toBe(one.cheapestDays)
    expect(other.saving.mean).toBeCloseTo(one.saving.mean, 9)
    expect(one.saving.lower).toBeLessThanOrEqual(one.saving.mean)
    expect(one.saving.upper).toBeGreaterThanOrEqual(one.saving.mean)
  })
})

describe('what is proposed', () => {
  test('nothing where the interval in force is as good as the cheapest', () => {
    const { cheapestDays } = adviseInterval({ ...question, inForceDays: 28 })
    const advice = adviseInterval({ ...question, inForceDays: cheapestDays })
    expect(advice).toMatchObject({ proposes: false, saving: { mean: 0, lower: 0, upper: 0 } })
  })
  test('nothing while the records leave it open whether it saves', () => {
    const draws = [
      { shape: 3, scale: 90, weight: 0.4 },
      { shape: 1.1, scale: 900, weight: 0.6 },
    ]
    const advice = adviseInterval({ ...question, life: { draws }, inForceDays: 84 })
    expect(advice.saving.chance).toBeLessThan(0.8)
    expect(advice.proposes).toBe(false)
  })
  test('under an age limit nobody waits for ever: what is saved is saved against the last visit before the limit', () => {
    const limited = { ...question, life: { shape: 2.5, scale: 400 }, limitDays: 371, inForceDays: Infinity }
    const advice = adviseInterval(limited)
    const costAt = (inForceDays: number) => adviseInterval({ ...limited, inForceDays }).costPerYear
    // 371 days hold 26 visits of 14 days and not 27.
    expect(advice.costPerYear).toBeCloseTo(costAt(26 * 14), 9)
    expect(advice.costPerYearWaiting).toBeCloseTo(costAt(26 * 14), 9)
    expect(advice.saving.mean).toBeCloseTo(costAt(26 * 14) - advice.costPerYearCheapest, 9)
    const unlimited = adviseInterval({ ...limited, limitDays: Infinity })
    expect(unlimited.costPerYearWaiting).toBeGreaterThan(advice.costPerYearWaiting + 10)
  })
  test('what was done so far is held against the cheapest too', () => {
    const { savingOnHabit, costPerYearWaiting, costPerYearCheapest } = adviseInterval({
      ...question,
      inForceDays: 98,
      habitDays: Infinity,
    })
    expect(savingOnHabit?.mean).toBeCloseTo(costPerYearWaiting - costPerYearCheapest, 6)
  })
  test('the saving promised comes: 4,000 years simulated under the stated life, with a visit clock that restarts', () => {
    const advice = adviseInterval({ ...question, inForceDays: Infinity })
    const years = 4000
    const spent = (intervalDays: number) => costOfYears(intervalDays, years * 365.25, seededRandom(3)) / years
    const saved = spent(Infinity) - spent(advice.cheapestDays)
    // Standard error of a mean over 4,000 years is about 1 % here.
    expect(saved / advice.saving.mean).toBeGreaterThan(0.95)
    expect(saved / advice.saving.mean).toBeLessThan(1.05)
  })
})

/** Plays the policy day by day: the truth is Weibull 3, 166 days; a need is seen at the next visit or reported with the stated share. */
function costOfYears(intervalDays: number, days: number, random: () => number): number {
  let now = 0
  let spent = 0
  while (now < days) {
    const life = 166 * (-Math.log(1 - random())) ** (1 / 3)
    const isReported = random() < costs.shareReported
    if (life > intervalDays) {
      spent += costs.planned
      now += intervalDays
    } else if (isReported) {
      spent += costs.callOut
      now += life
    } else {
      const seen = Math.ceil(life / 14) * 14
      spent += costs.found + costs.hiddenCostPerDay * (seen - life)
      now += seen
    }
  }
  return spent
}
