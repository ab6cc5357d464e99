/** Water readings as technicians write them ("Alk 8.3 dKH; Ca 420; Sal 34.6"), with their unit and a common one. Pure. */
import { plainWords } from './keys'
import { type DecimalMark, parseNumber } from './numbers'

type Quantity = {
  names: readonly string[]
  unit: string
  min: number
  max: number
  units: Readonly<Record<string, (value: number) => number>>
}

const same = (value: number) => value
/** 1 German degree is 10 mg/L of CaO; molar mass 56.077 g/mol (IUPAC 2021 atomic weights), two equivalents. */
const MEQ_PER_DEGREE = 20 / 56.077
/** mg/L as CaCO3; molar mass 100.087 g/mol, two equivalents. */
const MEQ_PER_PPM_CACO3 = 2 / 100.087
const ALKALINITY = {
  '': (value: number) => value * MEQ_PER_DEGREE, // without a unit German degrees, the kits' common scale (common practice, no source)
  dkh: (value: number) => value * MEQ_PER_DEGREE,
  kh: (value: number) => value * MEQ_PER_DEGREE,
  'd kh': (value: number) => value * MEQ_PER_DEGREE,
  'meq l': same,
  meq: same,
  'mmol l': same,
  ppm: (value: number) => value * MEQ_PER_PPM_CACO3,
  'mg l': (value: number) => value * MEQ_PER_PPM_CACO3,
  'mg l caco3': (value: number) => value * MEQ_PER_PPM_CACO3,
}
const MILLIGRAMS = { '': same, 'mg l': same, ppm: same, mg: same }
const HARDNESS = {
  '': (value: number) => value * MEQ_PER_DEGREE,
  dgh: (value: number) => value * MEQ_PER_DEGREE,
  dh: (value: number) => value * MEQ_PER_DEGREE,
  'meq l': same,
  ppm: (value: number) => value * MEQ_PER_PPM_CACO3,
  'mg l': (value: number) => value * MEQ_PER_PPM_CACO3,
}

/** Slugs with the unit they are kept in and the widest values that can be true of water with animals in it. */
const QUANTITIES: Readonly<Record<string, Quantity>> = {
  alkalinity: {
    names: ['alk', 'alkalinity', 'kh', 'dkh', 'carbonate hardness'],
    unit: 'meq/L',
    min: 0,
    max: 20,
    units: ALKALINITY,
  },
  calcium: { names: ['ca', 'calcium'], unit: 'mg/L', min: 0, max: 2000, units: MILLIGRAMS },
  magnesium: { names: ['mg', 'magnesium'], unit: 'mg/L', min: 0, max: 5000, units: MILLIGRAMS },
  salinity: {
    names: ['sal', 'salinity', 'salt'],
    unit: 'PSU',
    min: 0,
    max: 80,
    units: { '': same, psu: same, ppt: same, 'g kg': same, '‰': same },
  },
  'specific-gravity': { names: ['sg', 'specific gravity'], unit: '1', min: 0.99, max: 1.07, units: { '': same } },
  nitrate: { names: ['no3', 'nitrate'], unit: 'mg/L', min: 0, max: 1000, units: MILLIGRAMS },
  nitrite: { names: ['no2', 'nitrite'], unit: 'mg/L', min: 0, max: 100, units: MILLIGRAMS },
  'total-ammonia': {
    names: ['nh3', 'nh4', 'ammonia', 'tan', 'total ammonia'],
    unit: 'mg/L',
    min: 0,
    max: 50,
    units: MILLIGRAMS,
  },
  phosphate: { names: ['po4', 'phosphate'], unit: 'mg/L', min: 0, max: 50, units: MILLIGRAMS },
  'general-hardness': {
    names: ['gh', 'general hardness', 'hardness'],
    unit: 'meq/L',
    min: 0,
    max: 60,
    units: HARDNESS,
  },
  ph: { names: ['ph'], unit: '1', min: 0, max: 14, units: { '': same } },
  temperature: {
    names: ['temp', 'temperature', 't'],
    unit: '°C',
    min: -2,
    max: 45,
    units: {
      '': same,
      c: same,
      'deg c': same,
      f: (value) => ((value - 32) * 5) / 9,
      'deg f': (value) => ((value - 32) * 5) / 9,
    },
  },
}
const SLUG_OF_NAME = new Map(
  Object.entries(QUANTITIES).flatMap(([slug, { names }]) => names.map((name) => [name, slug] as const)),
)

/** `writtenUnit` is '' where none was written; `value` is in `unit`. */
export type ParsedReading = { quantity: string; writtenValue: number; writtenUnit: string; value: number; unit: string }
export type Readings = { readings: ParsedReading[]; leftOver: string[]; impossible: string[] }

const PART = /^(\p{L}[\p{L}\d₃₄₂ .]*?)\s*[:=]?\s*([+-]?\d[\d.,]*)\s*([^\d\s].*)?$/u
/** Names that end in a figure would lose it to the number that follows. */
const PART_FIGURED = /^(no3|no2|po4|nh3|nh4)\s*[:=]?\s*([+-]?\d[\d.,]*)\s*([^\d\s].*)?$/i

/**
 * Reads a list of readings, separated by semicolons, line breaks, slashes between blanks or commas before a name. Parts that name no known
 * quantity are given back in words (`leftOver`); values that cannot be true come back as `impossible`.
 */
export function parseReadings(text: string, mark: DecimalMark): Readings {
  const result: Readings = { readings: [], leftOver: [], impossible: [] }
  const parts = text
    .replace(/[₂₃₄]/g, (figure) => String('₀₁₂₃₄'.indexOf(figure)))
    .split(/[;\n|]|\s\/\s|,\s+(?=\p{L})/u)
  for (const part of parts.map((each) => each.trim()).filter((each) => each !== '')) {
    const match = PART_FIGURED.exec(part) ?? PART.exec(part)
    const slug = SLUG_OF_NAME.get(plainWords(match?.[1] ?? ''))
    const quantity = slug === undefined ? undefined : QUANTITIES[slug]
    const writtenValue = match?.[2] === undefined ? null : parseNumber(match[2], mark)
    const writtenUnit = (match?.[3] ?? '').trim()
    const unitKey = writtenUnit === '‰' ? '‰' : plainWords(writtenUnit)
    const convert = quantity && Object.hasOwn(quantity.units, unitKey) ? quantity.units[unitKey] : undefined
    if (slug === undefined || quantity === undefined || writtenValue === null || convert === undefined) {
      result.leftOver.push(part)
      continue
    }
    const value = Math.round(convert(writtenValue) * 1e6) / 1e6
    if (value < quantity.min || value > quantity.max) result.impossible.push(part)
    else result.readings.push({ quantity: slug, writtenValue, writtenUnit, value, unit: quantity.unit })
  }
  return result
}
