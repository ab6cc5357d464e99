// Alkalinity and hardness: 1 °dH = 10 mg CaO per litre (DIN 38409-6); 1 meq/L = 50.043 mg/L CaCO3 = 2.80385 °dH (FAO rounds to
// 50 and 2.805). Nitrogen and phosphorus: 4.42664, 3.28443, 1.21589, 1.28786 and 3.06612 from IUPAC weights (Prohaska et al. 2022,
// from memory), as in water-quality handbooks (NO3 = 4.43 NO3-N, PO4 = 3.07 PO4-P). Temperature by definition.
import { describe, expect, test } from 'vitest'
import { differenceToStored, fromStored, QUANTITIES, type Quantity, toStored, unitsOf } from '@/lib/trade'

describe('units people write', () => {
  test.each([
    ['alkalinity', 1, 'dKH', 0.356652],
    ['alkalinity', 50.043, 'ppm CaCO3', 1],
    ['alkalinity', 61.016, 'mg/L HCO3', 1],
    ['totalHardness', 1, 'dGH', 0.17833],
    ['totalHardness', 17.848, 'mg/L CaCO3', 0.17833],
    ['nitrate', 1, 'mg/L N', 4.42664],
    ['nitrite', 1, 'mg/L N', 3.28443],
    ['phosphate', 1, 'mg/L P', 3.06612],
    ['phosphate', 10, 'µg/L P', 0.030661],
    ['totalAmmonia', 1.21589, 'mg/L NH3', 1],
    ['totalAmmonia', 1.28786, 'mg/L NH4', 1],
    // EOS-80 at 25 °C: 1023.343 / 997.048 kg/m3 at 35 (check values of Fofonoff and Millard 1983, from memory).
    ['salinity', 1.026373, 'SG', 35],
    ['temperature', 79.7, '°F', 26.5],
    ['temperature', 77, '°F', 25],
  ] satisfies [Quantity, number, string, number][])('%s: %d %s', (quantity, value, unit, stored) => {
    expect(Math.abs(toStored(quantity, value, unit) / stored - 1)).toBeLessThan(5e-5)
  })
  test('there and back gives the same value, for every quantity and unit', () => {
    for (const quantity of Object.keys(QUANTITIES) as Quantity[]) // keys of the record, by its type
      for (const unit of unitsOf(quantity))
        expect(fromStored(quantity, toStored(quantity, 7.3, unit), unit), `${quantity} ${unit}`).toBeCloseTo(7.3, 10)
  })
  test('a specific gravity is a salinity, whatever it is: fresh water has none of it, and more is never less', () => {
    expect(toStored('salinity', 1, 'SG')).toBe(0)
    const gravities = Array.from({ length: 60 }, (_, step) => 0.99 + step / 1000)
    const stored = gravities.map((gravity) => toStored('salinity', gravity, 'SG'))
    expect(stored).toEqual(stored.toSorted((a, b) => a - b))
    for (const gravity of gravities)
      expect(fromStored('salinity', toStored('salinity', gravity, 'SG'), 'SG')).toBeCloseTo(gravity, 10)
  })
  test('the stored unit comes first', () => {
    for (const quantity of Object.keys(QUANTITIES) as Quantity[]) // keys of the record, by its type
      expect(unitsOf(quantity)[0]).toBe(QUANTITIES[quantity].unit)
  })
  test('a change of 2 °F is 1.11 °C, not 2 - 32', () => {
    expect(differenceToStored('temperature', 2, '°F')).toBeCloseTo(1.1111, 4)
  })
  test('a unit that the quantity does not have is refused by name', () => {
    expect(() => toStored('nitrate', 5, 'dKH')).toThrow(/Nitrate as NO3 is not written in "dKH"/)
    expect(() => toStored('pH', Number.NaN, '')).toThrow(RangeError)
  })
})
