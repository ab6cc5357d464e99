import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Compound, doseFor, doseOverDays, riseFor } from '@/lib/science'
import { evenly } from '../evenly'

// Molar masses as handbooks and labels print them (from memory), and the mass of what one mole brings: mg of the ion, or meq of alkalinity.
const PRINTED: [Compound, molarMass: number, brings: number][] = [
  ['calcium chloride anhydrous', 110.98, 40.078],
  ['calcium chloride dihydrate', 147.01, 40.078],
  ['magnesium chloride hexahydrate', 203.3, 24.305],
  ['magnesium sulfate heptahydrate', 246.47, 24.305],
  ['sodium bicarbonate', 84.01, 1],
  ['sodium carbonate anhydrous', 105.99, 2],
  ['potassium bicarbonate', 100.12, 1],
  ['calcium hydroxide', 74.09, 2],
  ['potassium nitrate', 101.1, 62.004],
  ['potassium dihydrogen phosphate', 136.09, 94.97],
  ['potassium sulfate', 174.26, 78.196],
]
const anyCompound = fc.constantFrom(...PRINTED.map(([compound]) => compound))

describe('doses', () => {
  test.each(PRINTED)('a millimole of %s weighs what is printed, %d mg', (compound, molarMass, brings) => {
    const { grams } = doseFor({ compound, rise: brings, volume: 1 })
    expect(Math.abs((1000 * grams) / molarMass - 1)).toBeLessThan(1e-4)
  })
  test('grams → rise → grams, and twice the water or the rise is twice the dose', () => {
    fc.assert(
      fc.property(
        anyCompound,
        evenly(0.001, 500),
        evenly(1, 5000),
        evenly(0.1, 1),
        (compound, rise, volume, purity) => {
          const { grams } = doseFor({ compound, rise, volume, purity })
          expect(riseFor({ compound, grams, volume, purity }) / rise).toBeCloseTo(1, 10)
          expect(doseFor({ compound, rise: 2 * rise, volume, purity }).grams / grams).toBeCloseTo(2, 10)
          expect(doseFor({ compound, rise, volume: 2 * volume, purity }).grams / grams).toBeCloseTo(2, 10)
          expect(doseFor({ compound, rise, volume }).grams / grams).toBeCloseTo(purity, 10)
        },
      ),
    )
  })
  test('what rises alongside: 5 mg/L of nitrate from its potassium salt bring 3.15 mg/L of potassium (39.098 / 62.004)', () => {
    const { alongside, unit } = doseFor({ compound: 'potassium nitrate', rise: 5, volume: 60 })
    expect(unit).toBe('mg/L')
    expect(alongside).toEqual([{ ion: 'potassium', rise: expect.closeTo((5 * 39.098) / 62.004, 6) }])
    expect(doseFor({ compound: 'sodium carbonate anhydrous', rise: 1, volume: 60 }).alongside).toEqual([
      { ion: 'sodium', rise: expect.closeTo(22.99, 6) },
    ])
  })
  test('of a stock of 100 g/L 7.336 g are 73.36 mL; without one there are no millilitres', () => {
    const dose = { compound: 'calcium chloride dihydrate', rise: 20, volume: 100 } as const
    expect(doseFor({ ...dose, stockGramsPerLitre: 100 }).millilitres).toBeCloseTo(73.36, 2)
    expect(doseFor(dose).millilitres).toBeNull()
  })
  test('an unknown compound is refused with those that are known', () => {
    // A name from outside, which no type holds back.
    expect(() => doseFor({ compound: 'calcium chloride' as Compound, rise: 1, volume: 1 })).toThrow(/dihydrate/)
  })
})

describe('doses over days', () => {
  test('no day brings more than the most, one day fewer would, and the days add up to the rise', () => {
    fc.assert(
      fc.property(anyCompound, evenly(0.001, 300), evenly(0.01, 60), (compound, rise, mostPerDay) => {
        const plan = doseOverDays({ compound, rise, mostPerDay, volume: 200 })
        expect(plan.risePerDay).toBeLessThanOrEqual(mostPerDay * (1 + 1e-8))
        expect(rise / Math.max(plan.days - 1, 0.5)).toBeGreaterThan(mostPerDay * Math.min(1, plan.days - 1))
        expect((plan.each.grams * plan.days) / doseFor({ compound, rise, volume: 200 }).grams).toBeCloseTo(1, 9)
      }),
    )
  })
  test('3 × 0.1 is three days in spite of rounding; no rise is no day', () => {
    const dose = { compound: 'sodium bicarbonate', volume: 100 } as const
    expect(doseOverDays({ ...dose, rise: 0.1 + 0.1 + 0.1, mostPerDay: 0.1 }).days).toBe(3)
    expect(doseOverDays({ ...dose, rise: 0, mostPerDay: 0.1 })).toMatchObject({
      days: 0,
      risePerDay: 0,
      each: { grams: 0 },
    })
  })
})
