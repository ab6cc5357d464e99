import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  oxygenSaturation,
  practicalSalinity,
  salinityFromConductivity,
  salinityFromSpecificGravity,
  seawaterDensity,
  specificGravity,
  unionisedAmmonia,
} from '@/lib/science'
import { evenly } from '../evenly'

describe('salinity from conductivity', () => {
  // Schemel 2001, Simplified conversions between specific conductance and salinity units, IEP Newsletter 14(1): 17–18: an independent polynomial
  // for water at 25 °C; its own figures at 35 and 30 are 53087 and 46266.7 µS/cm.
  const schemel = (S: number) =>
    (S / 35) * 53087 + S * (S - 35) * (-16.072 + 4.1495 * S ** 0.5 - 0.5345 * S + 0.0261 * S ** 1.5)
  test('agrees with Schemel 2001 within 0.2 % from 5 to 40', () => {
    expect(schemel(35)).toBe(53087)
    expect(schemel(30)).toBeCloseTo(46266.7, 1)
    for (let S = 5; S <= 40; S += 0.5)
      expect(
        Math.abs(salinityFromConductivity({ conductivity: schemel(S) / 1000, temperature: 25 }) / S - 1),
      ).toBeLessThan(0.002)
  })
  test('more conductivity is never less salinity, through 2 as well, and at one conductivity warmer is never saltier', () => {
    fc.assert(
      fc.property(evenly(0, 44), evenly(0, 1), evenly(0, 34), (conductivity, more, temperature) => {
        const salinity = salinityFromConductivity({ conductivity, temperature: 20 })
        const saltier = salinityFromConductivity({ conductivity: conductivity + more, temperature: 20 })
        expect(saltier).toBeGreaterThanOrEqual(salinity)
        if (conductivity < 26)
          expect(salinityFromConductivity({ conductivity, temperature: temperature + 1 })).toBeLessThanOrEqual(
            salinityFromConductivity({ conductivity, temperature }),
          )
      }),
    )
  })
  test('the scale and its extension to fresher water meet at 2, cold or warm', () => {
    for (const temperature of [0, 10, 15, 25, 34]) {
      let [below, above] = [0, 10]
      for (let step = 0; step < 60; step += 1) {
        const middle = (below + above) / 2
        if (salinityFromConductivity({ conductivity: middle, temperature }) < 2) below = middle
        else above = middle
      }
      expect(salinityFromConductivity({ conductivity: below, temperature })).toBeCloseTo(2, 9)
      expect(salinityFromConductivity({ conductivity: above, temperature })).toBeCloseTo(2, 9)
    }
  })
  test('water that conducts nothing is fresh; brine and ice are refused in words', () => {
    expect(practicalSalinity({ conductivityRatio: 0, temperature: 20 })).toBeCloseTo(0, 4)
    expect(() => salinityFromConductivity({ conductivity: 70, temperature: 20 })).toThrow(/defined up to 42/)
    expect(() => salinityFromConductivity({ conductivity: 50, temperature: -5 })).toThrow(/from -2 to 35 °C, got -5/)
  })
})

describe('density and specific gravity', () => {
  test('there and back, at any pair of temperatures', () => {
    fc.assert(
      fc.property(evenly(0, 42), evenly(-2, 40), evenly(0, 40), (salinity, sampleTemperature, referenceTemperature) => {
        const at = { sampleTemperature, referenceTemperature }
        const gravity = specificGravity({ salinity, ...at })
        expect(salinityFromSpecificGravity({ specificGravity: gravity, ...at })).toBeCloseTo(salinity, 9)
      }),
    )
  })
  test('salt makes it heavier; above 4 °C warmth makes it lighter', () => {
    fc.assert(
      fc.property(evenly(0, 41), evenly(4, 39), (salinity, temperature) => {
        const density = seawaterDensity({ salinity, temperature })
        expect(seawaterDensity({ salinity: salinity + 1, temperature })).toBeGreaterThan(density)
        expect(seawaterDensity({ salinity, temperature: temperature + 1 })).toBeLessThan(density)
      }),
    )
  })
  test('fresh water at the reference temperature is 1 exactly; a gravity of brine is refused with the salinity it would be', () => {
    const at = { sampleTemperature: 25, referenceTemperature: 25 }
    expect(salinityFromSpecificGravity({ specificGravity: 1, ...at })).toBe(0)
    expect(() => salinityFromSpecificGravity({ specificGravity: 1.05, ...at })).toThrow(/is a salinity of 6\d/)
    expect(salinityFromSpecificGravity({ specificGravity: 1.05, ...at, extrapolate: true })).toBeGreaterThan(60)
  })
})

describe('un-ionised ammonia', () => {
  const water = { total: 1, pH: 8, temperature: 25 }
  test('the equations of fresh and of salt water meet within 4 % at 0.5, on either scale', () => {
    const { fraction } = unionisedAmmonia({ ...water, salinity: 0.499 })
    for (const pHScale of ['total', 'free'] as const)
      expect(Math.abs(unionisedAmmonia({ ...water, salinity: 0.5, pHScale }).fraction / fraction - 1)).toBeLessThan(
        0.04,
      )
  })
  // Clegg & Whitfield 1995 as documented by the R package wq (ammFrac): 0.0183 at pH 8, 10 °C, salinity 0; fresh water by Emerson et al. 1975 prints 0.0182.
  test('rises with pH and warmth, and stays a share', () => {
    fc.assert(
      fc.property(evenly(4, 11), evenly(2, 38), evenly(0, 40), (pH, temperature, salinity) => {
        const { fraction } = unionisedAmmonia({ total: 1, pH, temperature, salinity })
        expect(fraction).toBeGreaterThan(0)
        expect(fraction).toBeLessThan(1)
        expect(unionisedAmmonia({ total: 1, pH: pH + 0.1, temperature, salinity }).fraction).toBeGreaterThan(fraction)
        expect(unionisedAmmonia({ total: 1, pH, temperature: temperature + 1, salinity }).fraction).toBeGreaterThan(
          fraction,
        )
      }),
    )
  })
  test('at pH = pKa half of it is un-ionised: pKa 9.25 in pure water at 25 °C (Bates & Pinching 1949, from memory)', () => {
    expect(unionisedAmmonia({ ...water, pH: 9.25, salinity: 0 }).fraction).toBeCloseTo(0.5, 2)
  })
  test('the concentration keeps the basis of the total, and the scale must be known', () => {
    expect(unionisedAmmonia({ ...water, total: 2, salinity: 0 }).concentration).toBeCloseTo(
      2 * unionisedAmmonia({ ...water, salinity: 0 }).fraction,
      12,
    )
    expect(() => unionisedAmmonia({ ...water, salinity: 10, pHScale: 'nbs' })).toThrow(/NBS scale .* from 20 to 40/)
  })
})

describe('oxygen', () => {
  // Garcia & Gordon 1992, Limnol. Oceanogr. 37: 1307–1312, another formula, fitted to other units (µmol/kg); coefficients from memory, held against the
  // paper's check value, 274.610 µmol/kg at 10 °C and 35.
  const garciaGordon = (t: number, S: number) => {
    const y = Math.log((298.15 - t) / (273.15 + t))
    const polynomial = (...terms: number[]) => terms.reduceRight((sum, term) => sum * y + term, 0)
    return Math.exp(
      polynomial(5.80871, 3.20291, 4.17887, 5.10006, -9.86643e-2, 3.80369) +
        S * polynomial(-7.01577e-3, -7.70028e-3, -1.13864e-2, -9.51519e-3) -
        2.75915e-7 * S * S,
    )
  }
  test('the formula to compare with gives its own check value', () => {
    expect(garciaGordon(10, 35)).toBeCloseTo(274.61, 3)
  })
  test('agrees with Garcia & Gordon 1992 within 0.3 %, cold or warm, fresh or salt', () => {
    for (let temperature = 0; temperature <= 40; temperature += 5)
      for (let salinity = 0; salinity <= 40; salinity += 10) {
        const kgPerLitre = seawaterDensity({ salinity, temperature }) / 1000
        const theirs = (garciaGordon(temperature, salinity) * kgPerLitre * 31.998) / 1000
        expect(
          Math.abs(oxygenSaturation({ temperature, salinity }) / theirs - 1),
          `${temperature} °C, ${salinity}`,
        ).toBeLessThan(0.003)
      }
  })
  test('half an atmosphere at 40 °C: only what is not vapour dissolves, by Henry’s law (7.384 kPa of vapour, steam tables)', () => {
    const vapour = 7.384 / 101.325
    const half = oxygenSaturation({ temperature: 40, salinity: 0, pressure: 0.5 })
    const share = half / oxygenSaturation({ temperature: 40, salinity: 0 })
    expect(Math.abs(share / ((0.5 - vapour) / (1 - vapour)) - 1)).toBeLessThan(0.001)
  })
  test('less in warmer, in saltier water and in thinner air', () => {
    fc.assert(
      fc.property(evenly(0, 39), evenly(0, 39), evenly(0.5, 1), (temperature, salinity, pressure) => {
        const found = oxygenSaturation({ temperature, salinity, pressure })
        expect(oxygenSaturation({ temperature: temperature + 1, salinity, pressure })).toBeLessThan(found)
        expect(oxygenSaturation({ temperature, salinity: salinity + 1, pressure })).toBeLessThan(found)
        expect(oxygenSaturation({ temperature, salinity, pressure: pressure + 0.1 })).toBeGreaterThan(found)
      }),
    )
  })
  test('a pressure in hPa is refused with the unit that is meant', () => {
    expect(() => oxygenSaturation({ temperature: 20, salinity: 0, pressure: 1013 })).toThrow(/0.5 to 1.1 atm/)
  })
})
