/** Volumes as people write them, in litres. Pure. */
import { type DecimalMark, parseNumber } from './numbers'

export const GALLONS = ['us', 'imperial'] as const
export type Gallon = (typeof GALLONS)[number]

/** Litres. US gallon: 231 cubic inches exactly (NIST Handbook 44, App. C); imperial: 4.54609 L exactly (UK SI 1995/1804). */
export const LITRES_PER_GALLON: Readonly<Record<Gallon, number>> = { us: 3.785411784, imperial: 4.54609 }

const LITRES_PER_UNIT: Readonly<Record<string, number>> = {
  '': 1, // a volume without a unit is litres
  l: 1,
  lt: 1,
  ltr: 1,
  ltrs: 1,
  litre: 1,
  litres: 1,
  liter: 1,
  liters: 1,
  litro: 1,
  litros: 1,
  ml: 0.001,
  cl: 0.01,
  hl: 100,
  m3: 1000,
  cbm: 1000,
  'cubic metre': 1000,
  'cubic metres': 1000,
  'cubic meter': 1000,
  'cubic meters': 1000,
}

const GALLON_WORDS: Readonly<Record<string, Gallon | 'ask'>> = {
  gal: 'ask',
  gals: 'ask',
  gallon: 'ask',
  gallons: 'ask',
  'us gal': 'us',
  'us gallon': 'us',
  'us gallons': 'us',
  'gal us': 'us',
  'gallons us': 'us',
  usg: 'us',
  'uk gal': 'imperial',
  'uk gallon': 'imperial',
  'uk gallons': 'imperial',
  'gal uk': 'imperial',
  'imp gal': 'imperial',
  'imperial gallon': 'imperial',
  'imperial gallons': 'imperial',
  'gal imp': 'imperial',
}

const plainUnit = (unit: string) =>
  unit.toLowerCase().replace('³', '3').replace('^3', '3').replace(/[().]/g, ' ').replace(/\s+/g, ' ').trim()

export type Volume = { ok: true; volumeL: number; unit: string; askedGallon: boolean } | { ok: false; reason: string }

/** Splits `48 gal` into its number and its unit; null where it does not begin with a number. */
function split(text: string): { number: string; unit: string } | null {
  const match = /^\s*([+-]?[\d][\d.,'’ \u00a0\u202f]*?)\s*([a-zA-Z].*|\(.*)?$/.exec(text)
  return match?.[1] === undefined ? null : { number: match[1], unit: match[2] ?? '' }
}

/**
 * Reads a volume. `headerUnit` is the unit named in the column's header, used where a cell has none.
 * `gallon` decides what an unqualified gallon is; `askedGallon` tells that it mattered.
 * Domain: above 0 and at most 10,000,000 L. The answer is rounded to a millilitre.
 */
export function parseVolume(text: string, mark: DecimalMark, gallon: Gallon, headerUnit = ''): Volume {
  const parts = split(text)
  const value = parts === null ? null : parseNumber(parts.number, mark)
  if (parts === null || value === null) return { ok: false, reason: `the volume “${text.trim()}” is not a number` }
  const unit = plainUnit(parts.unit === '' ? headerUnit : parts.unit)
  const gallonWord = Object.hasOwn(GALLON_WORDS, unit) ? GALLON_WORDS[unit] : undefined
  const perUnit =
    gallonWord !== undefined
      ? LITRES_PER_GALLON[gallonWord === 'ask' ? gallon : gallonWord]
      : Object.hasOwn(LITRES_PER_UNIT, unit)
        ? LITRES_PER_UNIT[unit]
        : undefined
  if (perUnit === undefined) return { ok: false, reason: `the volume “${text.trim()}” has a unit that is not known` }
  const volumeL = Math.round(value * perUnit * 1000) / 1000
  if (!(volumeL > 0 && volumeL <= 10_000_000))
    return { ok: false, reason: `the volume “${text.trim()}” cannot be right` }
  return { ok: true, volumeL, unit, askedGallon: gallonWord === 'ask' }
}
