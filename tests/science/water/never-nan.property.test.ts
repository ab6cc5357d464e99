import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  convertAlkalinity,
  convertHardness,
  convertNutrient,
  doseFor,
  doseOverDays,
  drainDown,
  heaterPower,
  oxygenSaturation,
  practicalSalinity,
  riseFor,
  salinityFromConductivity,
  salinityFromSpecificGravity,
  saltAndWaterBalance,
  seawaterDensity,
  specificGravity,
  topOffDrift,
  unionisedAmmonia,
  waterChange,
  waterChangeNeeded,
} from '@/lib/science'
import { evenly } from '../evenly'

// Whatever is typed: a finite answer, or a RangeError in words. No outside source is needed for this.
const anything = fc.oneof(
  { weight: 1, arbitrary: fc.double() },
  // Mostly what a tank might have, or nearly no call would be answered.
  { weight: 10, arbitrary: evenly(0, 50) },
  {
    weight: 2,
    arbitrary: fc.constantFrom(
      0,
      -0,
      1,
      -1,
      1e-9,
      1e12,
      Number.NaN,
      Infinity,
      -Infinity,
      Number.MAX_VALUE,
      Number.MIN_VALUE,
    ),
  },
)

function numbersIn(answer: unknown): number[] {
  if (typeof answer === 'number') return [answer]
  if (typeof answer === 'object' && answer !== null) return Object.values(answer).flatMap(numbersIn)
  return []
}

type Six = [number, number, number, number, number, number]
const CALLS: Record<string, (numbers: Six) => unknown> = {
  practicalSalinity: ([conductivityRatio, temperature, pressure]) =>
    practicalSalinity({ conductivityRatio, temperature, pressure }),
  salinityFromConductivity: ([conductivity, temperature]) => salinityFromConductivity({ conductivity, temperature }),
  seawaterDensity: ([salinity, temperature]) => seawaterDensity({ salinity, temperature }),
  specificGravity: ([salinity, sampleTemperature, referenceTemperature]) =>
    specificGravity({ salinity, sampleTemperature, referenceTemperature }),
  salinityFromSpecificGravity: ([gravity, sampleTemperature, referenceTemperature]) =>
    salinityFromSpecificGravity({ specificGravity: gravity, sampleTemperature, referenceTemperature }),
  unionisedAmmonia: ([total, pH, temperature, salinity]) => unionisedAmmonia({ total, pH, temperature, salinity }),
  'unionisedAmmonia, free': ([total, pH, temperature, salinity]) =>
    unionisedAmmonia({ total, pH, temperature, salinity, pHScale: 'free' }),
  'unionisedAmmonia, NBS': ([total, pH, temperature, salinity]) =>
    unionisedAmmonia({ total, pH, temperature, salinity, pHScale: 'nbs' }),
  oxygenSaturation: ([temperature, salinity, pressure]) => oxygenSaturation({ temperature, salinity, pressure }),
  doseFor: ([rise, volume, purity, stockGramsPerLitre]) =>
    doseFor({ compound: 'potassium nitrate', rise, volume, purity, stockGramsPerLitre }),
  riseFor: ([grams, volume, purity]) => riseFor({ compound: 'potassium nitrate', grams, volume, purity }),
  doseOverDays: ([rise, volume, mostPerDay]) =>
    doseOverDays({ compound: 'sodium bicarbonate', rise, volume, mostPerDay }),
  waterChange: ([volume, changed, before, incoming, times]) =>
    waterChange({ volume, changed, before, incoming, times }),
  'waterChange, continuous': ([volume, changed, before, incoming]) =>
    waterChange({ volume, changed, before, incoming, continuous: true }),
  waterChangeNeeded: ([volume, before, incoming, target, times]) =>
    waterChangeNeeded({ volume, before, incoming, target, times }),
  'waterChangeNeeded, continuous': ([volume, before, incoming, target]) =>
    waterChangeNeeded({ volume, before, incoming, target, continuous: true }),
  'waterChangeNeeded, how often': ([volume, before, incoming, target, changed]) =>
    waterChangeNeeded({ volume, before, incoming, target, changed }),
  topOffDrift: ([volume, salinity, evaporated, lost, toppedUp, days]) =>
    topOffDrift({ volume, salinity, evaporated, lost, toppedUp, topUpSalinity: 35, days }),
  heaterPower: ([area, heatTransfer, tankTemperature, roomTemperature, evaporated, otherHeat]) =>
    heaterPower({ area, heatTransfer, tankTemperature, roomTemperature, evaporated, otherHeat }),
  'heaterPower, warming up': ([volume, degrees, hours, salinity]) =>
    heaterPower({
      area: 1,
      heatTransfer: 4,
      tankTemperature: 25,
      roomTemperature: 20,
      salinity,
      warmUp: { volume, degrees, hours },
    }),
  drainDown: ([length, width, fall, pipes, level, rim]) =>
    drainDown({ tanks: [{ length, width, fall }], pipes, sump: { length: 80, width: 40, level, rim } }),
  saltAndWaterBalance: ([volume, toppedUp, first, last, sd, skimmed]) =>
    saltAndWaterBalance({
      volume,
      toppedUp,
      salinity: { first, last, sd },
      evaporation: { litres: first, sd },
      skimmed,
    }),
}

describe('a finite answer or a RangeError', () => {
  test.each(Object.entries(CALLS))('%s', (_, call) => {
    let answered = 0
    fc.assert(
      fc.property(fc.tuple(anything, anything, anything, anything, anything, anything), (numbers) => {
        let answer: unknown
        try {
          answer = call(numbers)
        } catch (error) {
          expect(error).toBeInstanceOf(RangeError)
          expect(String(error)).toMatch(/RangeError: .{20}/)
          return
        }
        answered += 1
        expect(numbersIn(answer).filter((number) => !Number.isFinite(number))).toEqual([])
      }),
      { numRuns: 800 },
    )
    expect(answered).toBeGreaterThan(0)
  })
  test('conversions: unknown units, mixed elements and no numbers are refused; there and back is the same', () => {
    expect(() => convertAlkalinity({ value: Number.NaN, from: 'dKH', to: 'meq/L' })).toThrow(RangeError)
    expect(() => convertNutrient({ value: 1, from: 'NO3', to: 'PO4' })).toThrow(/not converted from "NO3" to "PO4"/)
    // A name from outside, which no type holds back.
    expect(() => convertHardness({ value: 1, from: 'toString' as 'dGH', to: 'dGH' })).toThrow(RangeError)
    const back = convertNutrient({ value: convertNutrient({ value: 7, from: 'NH4', to: 'N' }), from: 'N', to: 'NH4' })
    expect(back).toBeCloseTo(7, 12)
  })
})
