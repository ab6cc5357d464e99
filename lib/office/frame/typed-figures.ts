/** Figures as they are typed into the forms of the register, read into SI. Pure; runs on the screen and on the server. */
import { isOpenNumber, parseNumber } from './numbers'
import { LITRES_PER_GALLON } from './volumes'

export const VOLUME_UNITS = ['L', 'us_gal', 'imp_gal'] as const
export type VolumeUnit = (typeof VOLUME_UNITS)[number]

export const VOLUME_UNIT_WORDS: Readonly<Record<VolumeUnit, string>> = {
  L: 'L',
  us_gal: 'US gal',
  imp_gal: 'imp gal',
}

/** Litres in one unit; the gallons as records/volumes has them from their sources. */
export const LITRES_PER_UNIT: Readonly<Record<VolumeUnit, number>> = {
  L: 1,
  us_gal: LITRES_PER_GALLON.us,
  imp_gal: LITRES_PER_GALLON.imperial,
}

/** The unit of a business's setting; litres where it is none of them. */
export function asVolumeUnit(text: string): VolumeUnit {
  return VOLUME_UNITS.find((unit) => unit === text) ?? 'L'
}

/**
 * A figure as typed, or null: no number, or one that can be read two ways (`1,500` is fifteen hundred here and one and a
 * half there). Rounded to three decimals by the caller's unit.
 */
export function readFigure(text: string): number | null {
  return isOpenNumber(text) ? null : parseNumber(text, '.')
}

/** Litres, to the millilitre; null where the figure cannot be read. */
export function readVolumeL(text: string, unit: VolumeUnit): number | null {
  const value = readFigure(text)
  return value === null ? null : Math.round(value * LITRES_PER_UNIT[unit] * 1000) / 1000
}

/** A volume in the business's unit as a figure that can stand in a form: hundredths, for three decimals read two ways. */
export function volumeIn(unit: VolumeUnit, volumeL: number): number {
  return Math.round((volumeL / LITRES_PER_UNIT[unit]) * 100) / 100
}
