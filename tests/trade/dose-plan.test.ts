// Grams: stoichiometry, held against published figures in tests/science/water. The limits a day are common practice, no source.
import { describe, expect, test } from 'vitest'
import { changeLimit, dosePlan, profileOf, TANK_KINDS, toStored } from '@/lib/trade'

describe('dose plans', () => {
  test('2.2 to 2.9 meq/L in 300 L: two days of 8.82 g of sodium bicarbonate (84.006 mg a meq)', () => {
    const plan = dosePlan('reef', { compound: 'sodium bicarbonate', from: 2.2, to: 2.9, volumeL: 300 })
    expect(plan).toMatchObject({ quantity: 'alkalinity', days: 2, mostPerDay: 0.35, cautions: [] })
    expect(plan.each.grams).toBeCloseTo((0.35 * 300 * 84.006) / 1000, 6)
  })
  test('a plan from the lowest to the highest target never raises faster in a day than the kind of tank bears', () => {
    for (const kind of TANK_KINDS) {
      const { low = 0.5, high = 3 } = profileOf(kind).targets.alkalinity ?? {}
      const plan = dosePlan(kind, { compound: 'sodium carbonate anhydrous', from: low, to: high, volumeL: 200 })
      expect(plan.risePerDay).toBeLessThanOrEqual((changeLimit(kind, 'alkalinity')?.upPerDay ?? 0) + 1e-9)
      expect(plan.risePerDay * plan.days).toBeCloseTo(high - low, 9)
    }
  })
  test('from a test kit in °dKH: 7 to 8 is 0.357 meq/L, which takes two days', () => {
    const [from, to] = [toStored('alkalinity', 7, 'dKH'), toStored('alkalinity', 8, 'dKH')]
    expect(dosePlan('reef', { compound: 'sodium bicarbonate', from, to, volumeL: 100 }).days).toBe(2)
  })
  test('where no limit is known it is one dose, and says so', () => {
    const plan = dosePlan('planted', { compound: 'potassium nitrate', from: 5, to: 15, volumeL: 120 })
    expect(plan).toMatchObject({ days: 1, mostPerDay: null, quantity: 'nitrate' })
    expect(plan.each.grams).toBeCloseTo(((10 * 120) / 62.004) * 0.101102, 3)
  })
  test('the caution stands beside its compound and no other', () => {
    const slugsOf = (compound: Parameters<typeof dosePlan>[1]['compound']) =>
      dosePlan('reef', { compound, from: 1, to: 2, volumeL: 100 }).cautions.map(({ slug }) => slug)
    expect(slugsOf('calcium chloride dihydrate')).toEqual(['calcium-chloride-heat'])
    expect(slugsOf('calcium hydroxide')).toEqual(['lime-dust'])
    expect(slugsOf('sodium carbonate anhydrous')).toEqual(['soda-eyes'])
    expect(slugsOf('potassium nitrate')).toEqual(['feeds-fire'])
    expect(slugsOf('magnesium chloride hexahydrate')).toEqual([])
  })
  test('what a dose cannot do is refused in words', () => {
    const dose = { from: 3, volumeL: 100 }
    expect(() => dosePlan('reef', { ...dose, compound: 'sodium bicarbonate', to: 2 })).toThrow(/water change/)
    expect(() => dosePlan('planted', { ...dose, compound: 'potassium sulfate', to: 9 })).toThrow(/no reading is kept/)
  })
})
