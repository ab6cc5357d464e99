/** What can be measured at a visit, as typed and as stored. Pure. */

import { looksLikeGravity } from '@/lib/trade/specific-gravity'
import { QUANTITIES, type Quantity, toStored, unitsOf } from '@/lib/trade/water-units'
import { isOpenNumber } from '../frame/numbers'

/**
 * What the tank's own thermometer or controller shows. `temperature` is the second thermometer's, which is believed: the
 * two are compared at every visit.
 */
export const SHOWN_TEMPERATURE = 'temperatureShown'

/** The quantity whose units and targets a reading has, or null for an unknown one. */
export function quantityOf(name: string): Quantity | null {
  if (name === SHOWN_TEMPERATURE) return 'temperature'
  return name in QUANTITIES ? (name as Quantity) : null // it is a key of the record
}

/** What is measured, by its slug, in a person's words. */
export function readingName(name: string): string {
  if (name === SHOWN_TEMPERATURE) return 'Temperature that the tank’s own thermometer shows'
  if (name === 'temperature') return 'Temperature on your second thermometer'
  const quantity = quantityOf(name)
  return quantity === null ? name : QUANTITIES[quantity].name
}

/** A figure as typed, with point or comma; null where it is none. */
export function figureOf(text: string): number | null {
  return /^\s*[-+]?\d{1,7}([.,]\d{1,6})?\s*$/.test(text) ? Number(text.trim().replace(',', '.')) : null
}

/** A figure such as `1,350` or `1.350` with its mark taken for a grouping one; null where it can be read in one way only. */
function groupedFigure(text: string): number | null {
  return isOpenNumber(text) ? Number(text.trim().replace(/[.,]/, '')) : null
}

/** Words for a figure that can be read in two ways where both may be meant (up to `most`), or null. */
export function twoWays(text: string, most: number, toStored: (value: number) => number = (value) => value) {
  const grouped = groupedFigure(text)
  if (grouped === null || toStored(grouped) > most) return null
  return `${text.trim()} can be read in two ways. Write ${grouped} or ${Number(figureOf(text)?.toFixed(2))}.`
}

/** Up to these a grouped figure may be meant, in stored units; of the rest nothing reaches a thousand. From memory. */
const MOST_MEANT: Partial<Record<Quantity, number>> = {
  magnesium: 5000,
  calcium: 2000,
  alkalinity: 20,
  totalHardness: 80,
  phosphate: 20,
  nitrite: 20,
}

/** Limits of the possible in stored units: beyond them it was mistyped. From memory. */
const POSSIBLE: Partial<Record<Quantity, readonly [number, number]>> = {
  temperature: [-2, 60],
  pH: [0, 14],
  salinity: [0, 100],
}

export type StoredReading = { value: number; unit: string }

/** The stored value of a reading as typed, or words that say what is wrong with it. */
export function storedReading(reading: {
  quantity: string
  enteredValue: string
  enteredUnit: string
}): StoredReading | { wrong: string } {
  const quantity = quantityOf(reading.quantity)
  const figure = figureOf(reading.enteredValue)
  if (!quantity) return { wrong: `Nobody measures “${reading.quantity}” here.` }
  const { unit } = QUANTITIES[quantity]
  const name = readingName(reading.quantity)
  if (figure === null) return { wrong: `${name}: a figure such as 8.2.` }
  if (!unitsOf(quantity).includes(reading.enteredUnit))
    return { wrong: `${name} is not written in “${reading.enteredUnit}”.` }
  const value = toStored(quantity, figure, reading.enteredUnit)
  const [least, most] = POSSIBLE[quantity] ?? [0, 1_000_000]
  if (value < least || value > most)
    return { wrong: `${name} ${reading.enteredValue} ${reading.enteredUnit} cannot be. Check the figure and the unit.` }
  return { value, unit }
}

/** The heater's thermometer is off by more than this: the trade's rule for "reads off". Common practice, no source. */
export const THERMOMETERS_APART_C = 1

/** The same for a figure that somebody types now: one that can be read in two ways is asked about, never guessed. */
export function typedReading(reading: Parameters<typeof storedReading>[0]): ReturnType<typeof storedReading> {
  const stored = storedReading(reading)
  const quantity = quantityOf(reading.quantity)
  if ('wrong' in stored || quantity === null) return stored
  if (quantity === 'salinity' && reading.enteredUnit !== 'SG' && looksLikeGravity(stored.value))
    return {
      wrong: `${readingName(reading.quantity)}: ${reading.enteredValue.trim()} looks like a specific gravity. Choose SG as its unit.`,
    }
  const most = MOST_MEANT[quantity] ?? 0
  const open = twoWays(reading.enteredValue, most, (value) => toStored(quantity, value, reading.enteredUnit))
  return open === null ? stored : { wrong: `${readingName(reading.quantity)}: ${open}` }
}
