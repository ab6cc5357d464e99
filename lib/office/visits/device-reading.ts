/** A figure measured on a device, as typed and as stored. Pure. */
import { MEMBRANE_UNITS, rejectionOf, WEAR_QUANTITIES, type WearQuantity } from '@/lib/trade/wear-rules'
import { figureOf, twoWays } from './water'

export type DeviceReadingEntry = {
  equipmentId: string
  quantity: string
  /** The figure; of a membrane what comes out of it. */
  enteredValue: string
  /** Of a membrane what goes into it; else blank. */
  enteredInto: string
  enteredUnit: string
}

/** The quantity of a slug, or null for one that nobody measures on devices. */
export function wearQuantityOf(slug: string): WearQuantity | null {
  return slug in WEAR_QUANTITIES ? (slug as WearQuantity) : null // it is a key of the record
}

/** What was typed, in one line: "47", or "250 in, 10 out". */
export function enteredWords({ enteredValue, enteredInto }: Pick<DeviceReadingEntry, 'enteredValue' | 'enteredInto'>) {
  return enteredInto === '' ? enteredValue : `${enteredInto} in, ${enteredValue} out`
}

/** Up to this a figure of what is dissolved in tap water may be meant, in any of its units. From memory. */
const MOST_IN_WATER = 20_000

/** The stored value of a reading on a device, or words that say what is wrong with it. */
export function storedDeviceReading(
  reading: Omit<DeviceReadingEntry, 'equipmentId'>,
): { value: number; unit: string } | { wrong: string } {
  const quantity = wearQuantityOf(reading.quantity)
  if (!quantity) return { wrong: `Nobody measures “${reading.quantity}” on a device.` }
  const { name, unit, most } = WEAR_QUANTITIES[quantity]
  const value = figureOf(reading.enteredValue)
  if (quantity === 'rejection') {
    const into = figureOf(reading.enteredInto)
    if (value === null || into === null) return { wrong: 'Membrane: two figures, what goes in and what comes out.' }
    if (!MEMBRANE_UNITS.some((known) => known === reading.enteredUnit))
      return { wrong: `Membrane: both in ${MEMBRANE_UNITS.join(' or ')}.` }
    const open = twoWays(reading.enteredInto, MOST_IN_WATER) ?? twoWays(reading.enteredValue, MOST_IN_WATER)
    if (open !== null) return { wrong: `Membrane: ${open}` }
    if (!(into > 0 && value >= 0 && value <= into))
      return { wrong: `Membrane: ${reading.enteredValue} cannot come out where ${reading.enteredInto} goes in.` }
    return { value: rejectionOf({ into, out: value }), unit }
  }
  if (value === null) return { wrong: `${name}: a figure such as 47.5.` }
  if (reading.enteredUnit !== unit) return { wrong: `${name} is written in ${unit}.` }
  const open = twoWays(reading.enteredValue, most)
  if (open !== null) return { wrong: `${name}: ${open}` }
  if (value < 0 || value > most)
    return { wrong: `${name} ${reading.enteredValue} ${unit} cannot be. Check the figure.` }
  return { value, unit }
}
