/** Water readings as technicians write them ("Alk 8.3 dKH; Ca 420; Sal 34.6"), with their unit and a common one. Pure. */
import { looksLikeGravity } from '@/lib/trade/specific-gravity'
import { QUANTITIES, type Quantity, toStored } from '@/lib/trade/water-units'
import { type DecimalMark, parseNumber } from '../frame/numbers'
import { plainWords } from '../frame/plain-words'

type Known = {
  quantity: Quantity
  names: readonly string[]
  /** The widest values that can be true of water with animals in it, in the stored unit. */
  min: number
  max: number
  /** From the unit as written, in plain words, to its name among the trade's units. */
  units: Readonly<Record<string, string>>
}

const MILLIGRAMS = { '': 'mg/L', 'mg l': 'mg/L', ppm: 'mg/L', mg: 'mg/L' }
const concentration = (quantity: Quantity, names: readonly string[], max: number): Known => ({
  quantity,
  names,
  min: 0,
  max,
  units: MILLIGRAMS,
})
const ammonia = (names: readonly string[], unit: string): Known => ({
  quantity: 'totalAmmonia',
  names,
  min: 0,
  max: 50,
  units: { '': unit, 'mg l': unit, ppm: unit, mg: unit, 'mg l n': 'mg/L N' },
})

const KNOWN: readonly Known[] = [
  {
    quantity: 'alkalinity',
    names: ['alk', 'alkalinity', 'kh', 'dkh', 'carbonate hardness'],
    min: 0,
    max: 20,
    units: {
      '': 'dKH', // without a unit German degrees, the kits' common scale (common practice, no source)
      dkh: 'dKH',
      kh: 'dKH',
      'd kh': 'dKH',
      'meq l': 'meq/L',
      meq: 'meq/L',
      'mmol l': 'meq/L', // acid capacity: one proton, one charge
      ppm: 'ppm CaCO3',
      'ppm caco3': 'ppm CaCO3',
      'mg l': 'mg/L CaCO3',
      'mg l caco3': 'mg/L CaCO3',
    },
  },
  {
    quantity: 'totalHardness',
    names: ['gh', 'general hardness', 'hardness'],
    min: 0,
    max: 30,
    units: { '': 'dGH', dgh: 'dGH', dh: 'dGH', 'mmol l': 'mmol/L', ppm: 'ppm CaCO3', 'mg l': 'mg/L CaCO3' },
  },
  concentration('calcium', ['ca', 'calcium'], 2000),
  concentration('magnesium', ['mg', 'magnesium'], 5000),
  concentration('nitrate', ['no3', 'nitrate'], 1000),
  concentration('nitrite', ['no2', 'nitrite'], 100),
  concentration('phosphate', ['po4', 'phosphate'], 50),
  // What the name says is what was weighed: as nitrogen where it names no ion (common practice, no source).
  ammonia(['nh3'], 'mg/L NH3'),
  ammonia(['nh4'], 'mg/L NH4'),
  ammonia(['ammonia', 'tan', 'total ammonia'], 'mg/L N'),
  {
    quantity: 'salinity',
    names: ['sal', 'salinity', 'salt'],
    min: 0,
    max: 80,
    units: { '': '', psu: 'PSU', ppt: 'ppt', 'g kg': 'g/kg', '‰': 'ppt', sg: 'SG' },
  },
  { quantity: 'salinity', names: ['sg', 'specific gravity'], min: 0, max: 80, units: { '': 'SG' } },
  { quantity: 'pH', names: ['ph'], min: 0, max: 14, units: { '': '' } },
  {
    quantity: 'temperature',
    names: ['temp', 'temperature', 't'],
    min: -2,
    max: 45,
    units: { '': '°C', c: '°C', 'deg c': '°C', f: '°F', 'deg f': '°F' },
  },
]
const KNOWN_BY_NAME = new Map(KNOWN.flatMap((known) => known.names.map((name) => [name, known] as const)))

/** `writtenUnit` is the trade's name of the unit that was written or meant; `value` is in `unit`, the stored one. */
export type ParsedReading = {
  quantity: Quantity
  writtenValue: number
  writtenUnit: string
  value: number
  unit: string
}
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
    const known = KNOWN_BY_NAME.get(plainWords(match?.[1] ?? ''))
    const writtenValue = match?.[2] === undefined ? null : parseNumber(match[2], mark)
    const writtenUnit = (match?.[3] ?? '').trim()
    const unitKey = writtenUnit === '‰' ? '‰' : plainWords(writtenUnit)
    const unit = known && Object.hasOwn(known.units, unitKey) ? known.units[unitKey] : undefined
    if (known === undefined || writtenValue === null || unit === undefined) {
      result.leftOver.push(part)
      continue
    }
    const { quantity, min, max } = known
    const meant = quantity === 'salinity' && looksLikeGravity(writtenValue) ? 'SG' : unit
    const value = Math.round(toStored(quantity, writtenValue, meant) * 1e6) / 1e6
    if (value < min || value > max) result.impossible.push(part)
    else result.readings.push({ quantity, writtenValue, writtenUnit: meant, value, unit: QUANTITIES[quantity].unit })
  }
  return result
}
