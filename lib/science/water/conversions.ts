import { ATOMIC_WEIGHT, MOLAR_MASS } from './molar-mass'

/** Two milliequivalents per millimole of an alkaline earth; one German degree is 10 mg of CaO per litre (DIN 38409-6). */
const GERMAN_DEGREE_MMOL = 10 / MOLAR_MASS.calciumOxide
const GRAIN_MG = 64.79891
const US_GALLON_L = 3.785411784
const IMPERIAL_GALLON_L = 4.54609

/** meq/L in one of each unit. */
const ALKALINITY = {
  'meq/L': 1,
  dKH: 2 * GERMAN_DEGREE_MMOL,
  'mg/L CaCO3': 2 / MOLAR_MASS.calciumCarbonate,
  'mg/L HCO3': 1 / MOLAR_MASS.bicarbonate,
} as const
export type AlkalinityUnit = keyof typeof ALKALINITY

/** mmol/L of calcium and magnesium in one of each unit. */
const HARDNESS = {
  'mmol/L': 1,
  dGH: GERMAN_DEGREE_MMOL,
  'mg/L CaCO3': 1 / MOLAR_MASS.calciumCarbonate,
  'French degree': 10 / MOLAR_MASS.calciumCarbonate,
  'English degree': GRAIN_MG / IMPERIAL_GALLON_L / MOLAR_MASS.calciumCarbonate,
  'grain/US gallon': GRAIN_MG / US_GALLON_L / MOLAR_MASS.calciumCarbonate,
} as const
export type HardnessUnit = keyof typeof HARDNESS

/** Moles of nitrogen or of phosphorus in one gram of each form. */
const NITROGEN = {
  N: 1 / ATOMIC_WEIGHT.N,
  NO3: 1 / MOLAR_MASS.nitrate,
  NO2: 1 / MOLAR_MASS.nitrite,
  NH3: 1 / MOLAR_MASS.ammonia,
  NH4: 1 / MOLAR_MASS.ammonium,
} as const
const PHOSPHORUS = {
  P: 1 / ATOMIC_WEIGHT.P,
  PO4: 1 / MOLAR_MASS.phosphate,
  P2O5: 2 / MOLAR_MASS.phosphorusPentoxide,
} as const
export type NutrientForm = keyof typeof NITROGEN | keyof typeof PHOSPHORUS

type Conversion<Unit> = { value: number; from: Unit; to: Unit }

function convert(
  { value, from, to }: Conversion<string>,
  tables: readonly Readonly<Record<string, number>>[],
  name: string,
) {
  if (!Number.isFinite(value)) throw new RangeError(`${name} must be a number, got ${value}`)
  const table = tables.find((one) => Object.hasOwn(one, from) && Object.hasOwn(one, to))
  const [ofFrom, ofTo] = [table?.[from], table?.[to]]
  if (ofFrom === undefined || ofTo === undefined)
    throw new RangeError(
      `${name} is not converted from "${from}" to "${to}"; known: ${tables.map((one) => Object.keys(one).join(', ')).join('; or ')}`,
    )
  return (value * ofFrom) / ofTo
}

/**
 * Alkalinity from one unit to another. 1 meq/L = 50.04 mg/L CaCO3 = 2.804 °dKH = 61.02 mg/L of bicarbonate, if all of it were bicarbonate.
 * Errors: RangeError for an unknown unit or no number. Source: definitions (DIN 38409-6 for the German degree) and atomic weights.
 * @example convertAlkalinity({ value: 8, from: 'dKH', to: 'meq/L' }) // 2.853
 */
export function convertAlkalinity(conversion: Conversion<AlkalinityUnit>): number {
  return convert(conversion, [ALKALINITY], 'alkalinity')
}

/**
 * Total hardness (calcium and magnesium together) from one unit to another. 1 °dGH = 10 mg of CaO per litre = 17.85 mg/L CaCO3; 1 French degree = 10 mg/L CaCO3; 1 English degree = 1 grain CaCO3 per imperial gallon.
 * Errors: RangeError for an unknown unit or no number. Source: definitions (DIN 38409-6; grain and gallons: NIST SP 811) and atomic weights.
 * @example convertHardness({ value: 10, from: 'dGH', to: 'mg/L CaCO3' }) // 178.5
 */
export function convertHardness(conversion: Conversion<HardnessUnit>): number {
  return convert(conversion, [HARDNESS], 'hardness')
}

/**
 * A mass concentration of nitrogen or phosphorus said as one form → the same said as another: nitrate as N × 4.427 = nitrate as NO3. Any unit of mass per volume, which it keeps.
 * Errors: RangeError for an unknown form, for nitrogen against phosphorus, or no number. Source: atomic weights.
 * @example convertNutrient({ value: 10, from: 'NO3', to: 'N' }) // 2.259
 */
export function convertNutrient(conversion: Conversion<NutrientForm>): number {
  return convert(conversion, [NITROGEN, PHOSPHORUS], 'a nutrient')
}
