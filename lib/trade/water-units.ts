import { gravityOfSalinity, salinityOfGravity } from './specific-gravity'

/**
 * Quantities of water, the one unit each is stored in, and the units people write. Factors follow from definitions and from
 * the IUPAC abridged standard atomic weights 2021 (Prohaska et al. 2022, Pure Appl. Chem. 94:573), from memory.
 */
const ATOMIC_WEIGHT = { H: 1.008, C: 12.011, N: 14.007, O: 15.999, P: 30.974, Mg: 24.305, Ca: 40.078 } as const

const { H, C, N, O, P, Ca } = ATOMIC_WEIGHT
const NITRATE_PER_N = (N + 3 * O) / N
const NITRITE_PER_N = (N + 2 * O) / N
const PHOSPHATE_PER_P = (P + 4 * O) / P
const AMMONIA_PER_N = (N + 3 * H) / N
const AMMONIUM_PER_N = (N + 4 * H) / N
/** mg of CaCO3 per milliequivalent (two per mole). */
const CACO3_MG_PER_MEQ = (Ca + C + 3 * O) / 2
/** One German degree is 10 mg of CaO per litre (DIN 38409-6). */
const MEQ_PER_GERMAN_DEGREE = (2 * 10) / (Ca + O)

/** Stored unit per quantity; the key says the ion or element that is meant. */
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
    times('meq/L', 1),
    times('dKH', MEQ_PER_GERMAN_DEGREE),
    times('ppm CaCO3', 1 / CACO3_MG_PER_MEQ),
    times('mg/L CaCO3', 1 / CACO3_MG_PER_MEQ),
    times('mg/L HCO3', 1 / (H + C + 3 * O)),
  ],
  totalHardness: [
    times('mmol/L', 1),
    times('dGH', MEQ_PER_GERMAN_DEGREE / 2),
    times('ppm CaCO3', 1 / (2 * CACO3_MG_PER_MEQ)),
    times('mg/L CaCO3', 1 / (2 * CACO3_MG_PER_MEQ)),
  ],
  calcium: perLitre,
  magnesium: perLitre,
  nitrate: [...perLitre, times('mg/L N', NITRATE_PER_N), times('ppm N', NITRATE_PER_N)],
  nitrite: [...perLitre, times('mg/L N', NITRITE_PER_N), times('ppm N', NITRITE_PER_N)],
  phosphate: [
    ...perLitre,
    times('mg/L P', PHOSPHATE_PER_P),
    times('µg/L P', PHOSPHATE_PER_P / 1000),
    times('ppb P', PHOSPHATE_PER_P / 1000),
  ],
  totalAmmonia: [times('mg/L N', 1), times('mg/L NH3', 1 / AMMONIA_PER_N), times('mg/L NH4', 1 / AMMONIUM_PER_N)],
  unionisedAmmonia: [times('mg/L', 1), times('mg/L N', AMMONIA_PER_N)],
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
