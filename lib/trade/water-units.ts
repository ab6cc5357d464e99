import {
  type AlkalinityUnit,
  convertAlkalinity,
  convertHardness,
  convertNutrient,
  type HardnessUnit,
  type NutrientForm,
} from '@/lib/science/water'
import { gravityOfSalinity, salinityOfGravity } from './specific-gravity'

/** Quantities of water and the one unit each is stored in; the name says the ion or element that is meant. */
export const QUANTITIES = {
  temperature: { name: 'Temperature', unit: '°C' },
  salinity: { name: 'Salinity', unit: '' },
  pH: { name: 'pH', unit: '' },
  alkalinity: { name: 'Alkalinity (carbonate hardness)', unit: 'meq/L' },
  totalHardness: { name: 'Total hardness', unit: 'mmol/L' },
  calcium: { name: 'Calcium', unit: 'mg/L' },
  magnesium: { name: 'Magnesium', unit: 'mg/L' },
  nitrate: { name: 'Nitrate as NO3', unit: 'mg/L' },
  nitrite: { name: 'Nitrite as NO2', unit: 'mg/L' },
  phosphate: { name: 'Phosphate as PO4', unit: 'mg/L' },
  totalAmmonia: { name: 'Total ammonia', unit: 'mg/L N' },
  unionisedAmmonia: { name: 'Un-ionised ammonia as NH3', unit: 'mg/L' },
  carbonDioxide: { name: 'Carbon dioxide', unit: 'mg/L' },
  totalChlorine: { name: 'Total chlorine', unit: 'mg/L' },
} as const
export type Quantity = keyof typeof QUANTITIES

type Unit = { unit: string; toStored: (value: number) => number; fromStored: (value: number) => number }
const times = (unit: string, factor: number): Unit => ({
  unit,
  toStored: (value) => value * factor,
  fromStored: (value) => value / factor,
})
const alkalinityIn = (from: AlkalinityUnit, unit: string = from) =>
  times(unit, convertAlkalinity({ value: 1, from, to: 'meq/L' }))
const hardnessIn = (from: HardnessUnit, unit: string = from) =>
  times(unit, convertHardness({ value: 1, from, to: 'mmol/L' }))
const said = (unit: string, from: NutrientForm, to: NutrientForm, factor = 1) =>
  times(unit, factor * convertNutrient({ value: 1, from, to }))
const perLitre = [times('mg/L', 1), times('ppm', 1), times('µg/L', 0.001), times('ppb', 0.001)]

/** Units people write, the stored one first. ppm is read as mg/L: in sea water that is 2.5 % off at most. */
const UNITS: Record<Quantity, readonly Unit[]> = {
  temperature: [
    times('°C', 1),
    { unit: '°F', toStored: (value) => ((value - 32) * 5) / 9, fromStored: (value) => (value * 9) / 5 + 32 },
  ],
  salinity: [
    times('', 1),
    times('ppt', 1),
    times('PSU', 1),
    times('g/kg', 1),
    { unit: 'SG', toStored: salinityOfGravity, fromStored: gravityOfSalinity },
  ],
  pH: [times('', 1)],
  alkalinity: [
    alkalinityIn('meq/L'),
    alkalinityIn('dKH'),
    alkalinityIn('mg/L CaCO3', 'ppm CaCO3'),
    alkalinityIn('mg/L CaCO3'),
    alkalinityIn('mg/L HCO3'),
  ],
  totalHardness: [
    hardnessIn('mmol/L'),
    hardnessIn('dGH'),
    hardnessIn('mg/L CaCO3', 'ppm CaCO3'),
    hardnessIn('mg/L CaCO3'),
  ],
  calcium: perLitre,
  magnesium: perLitre,
  nitrate: [...perLitre, said('mg/L N', 'N', 'NO3'), said('ppm N', 'N', 'NO3')],
  nitrite: [...perLitre, said('mg/L N', 'N', 'NO2'), said('ppm N', 'N', 'NO2')],
  phosphate: [
    ...perLitre,
    said('mg/L P', 'P', 'PO4'),
    said('µg/L P', 'P', 'PO4', 0.001),
    said('ppb P', 'P', 'PO4', 0.001),
  ],
  totalAmmonia: [times('mg/L N', 1), said('mg/L NH3', 'NH3', 'N'), said('mg/L NH4', 'NH4', 'N')],
  unionisedAmmonia: [times('mg/L', 1), said('mg/L N', 'N', 'NH3')],
  carbonDioxide: perLitre,
  totalChlorine: perLitre,
}

/** Units in which a quantity can be written, the stored one first. */
export function unitsOf(quantity: Quantity): string[] {
  return UNITS[quantity].map(({ unit }) => unit)
}

function unitOf(quantity: Quantity, unit: string): Unit {
  const found = UNITS[quantity].find((known) => known.unit === unit)
  if (!found)
    throw new RangeError(
      `${QUANTITIES[quantity].name} is not written in "${unit}"; known: ${unitsOf(quantity).join(', ')}`,
    )
  return found
}

/**
 * A value as a person wrote it → the stored unit.
 * @throws RangeError for a unit that the quantity does not have, or a value that is not a number.
 * @example toStored('alkalinity', 8, 'dKH') // 2.853 meq/L
 */
export function toStored(quantity: Quantity, value: number, unit: string): number {
  if (!Number.isFinite(value)) throw new RangeError(`${QUANTITIES[quantity].name} must be a number, got ${value}`)
  return unitOf(quantity, unit).toStored(value)
}

/** A stored value → the unit a person wants to see. Errors as `toStored`. */
export function fromStored(quantity: Quantity, value: number, unit: string): number {
  if (!Number.isFinite(value)) throw new RangeError(`${QUANTITIES[quantity].name} must be a number, got ${value}`)
  return unitOf(quantity, unit).fromStored(value)
}

/** A difference of temperature or of any other quantity: no offset. A change of 2 °F is 1.11 °C. */
export function differenceToStored(quantity: Quantity, difference: number, unit: string): number {
  return toStored(quantity, difference, unit) - toStored(quantity, 0, unit)
}
