/** Water changed, as typed and in litres. Pure. */
import { LITRES_PER_UNIT, VOLUME_UNIT_WORDS } from '../frame/typed-figures'
import type { RecordedWaterChange } from './record'
import { figureOf, storedReading, twoWays } from './water'

type Typed = Omit<RecordedWaterChange, 'id'>
type Changed = { volumeL: number; salinity: number | null; temperatureC: number | null }

/** What may be meant by a figure of litres that can be read in two ways. From memory. */
const MOST_LITRES = 100_000

/** Litres changed of a tank, and what was measured of the new water; or words that say what cannot be. */
export function waterChanged(typed: Typed, tankVolumeL: number): Changed | { wrong: string } {
  const amount = figureOf(typed.amount)
  const open = twoWays(typed.amount, MOST_LITRES)
  if (open !== null) return { wrong: `Water changed: ${open}` }
  if (amount === null || !(amount > 0)) return { wrong: 'Water changed: a figure above 0, such as 60.' }
  const volumeL = typed.unit === '%' ? (tankVolumeL * amount) / 100 : amount * LITRES_PER_UNIT[typed.unit]
  if (volumeL > tankVolumeL)
    return {
      wrong: `Water changed: ${typed.amount} ${UNIT_WORDS[typed.unit]} is more than the tank holds (${tankVolumeL} L). Write several changes one by one.`,
    }
  const salinity = typed.newSalinity === '' ? null : salinityOf(typed)
  if (salinity !== null && typeof salinity !== 'number') return salinity
  const temperature = typed.newTemperatureC === '' ? null : temperatureOf(typed.newTemperatureC)
  if (temperature !== null && typeof temperature !== 'number') return temperature
  return { volumeL: Math.round(volumeL * 1000) / 1000, salinity, temperatureC: temperature }
}

const UNIT_WORDS: Readonly<Record<Typed['unit'], string>> = { '%': '%', ...VOLUME_UNIT_WORDS }

function salinityOf({ newSalinity, newSalinityUnit }: Typed): number | { wrong: string } {
  const stored = storedReading({ quantity: 'salinity', enteredValue: newSalinity, enteredUnit: newSalinityUnit })
  return 'wrong' in stored ? { wrong: `New water: ${stored.wrong}` } : stored.value
}

function temperatureOf(enteredValue: string): number | { wrong: string } {
  const stored = storedReading({ quantity: 'temperature', enteredValue, enteredUnit: '°C' })
  return 'wrong' in stored ? { wrong: `New water: ${stored.wrong}` } : stored.value
}

/** "68 L (15 %)", as typed first. */
export function waterChangeWords({ amount, unit }: Pick<Typed, 'amount' | 'unit'>, tankVolumeL: number): string {
  const figure = figureOf(amount) ?? 0
  const litres = unit === '%' ? (tankVolumeL * figure) / 100 : figure * LITRES_PER_UNIT[unit]
  const share = tankVolumeL > 0 ? Math.round((100 * litres) / tankVolumeL) : 0
  return unit === '%' ? `${amount} % (${Math.round(litres)} L)` : `${amount} ${UNIT_WORDS[unit]} (${share} %)`
}
