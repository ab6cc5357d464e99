import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { IN_ALARM, judgeReading, profileOf, TANK_KINDS, unitsOf } from '@/lib/trade'
import type { VisitRecord } from './record'
import { quantityOf, readingName, SHOWN_TEMPERATURE, storedReading, THERMOMETERS_APART_C } from './water'

export type QuantityView = {
  quantity: string
  name: string
  units: string[]
  lastUnit: string
  last: string
  hint: string
}
export type ReadingView = {
  id: string
  quantity: string
  name: string
  enteredValue: string
  enteredUnit: string
  state: 'low' | 'ok' | 'high' | 'alarm' | 'unknown'
  words: string
}
export type WaterView = {
  quantities: QuantityView[]
  readings: ReadingView[]
  /** The two thermometers differ: the tank's own reads off. */
  apart: string | null
}

/** What is measured on this kind of water, both thermometers first, and what was measured at this visit, judged. */
export async function visitWater(
  tx: Transaction,
  tank: { businessId: string; tankId: string; profile: string },
  record: VisitRecord,
): Promise<WaterView> {
  const { businessId, tankId } = tank
  const profile = profileOf(TANK_KINDS.find((kind) => kind === tank.profile) ?? 'freshwater-community')
  const asked = [
    'temperature',
    SHOWN_TEMPERATURE,
    ...Object.keys(profile.targets).filter((name) => name !== 'temperature'),
  ]
  const before = await tx.reading.findMany({
    where: { businessId, tankId, correctedBy: { is: null }, quantity: { in: asked } },
    distinct: ['quantity'],
    orderBy: [{ quantity: 'asc' }, { takenAt: 'desc' }, { id: 'desc' }],
    select: { quantity: true, enteredValue: true, enteredUnit: true },
  })
  const last = new Map(before.map((row) => [row.quantity, row]))
  const quantities = asked.flatMap((quantity): QuantityView[] => {
    const known = quantityOf(quantity)
    if (!known) return []
    const row = last.get(quantity)
    const units = unitsOf(known)
    const lastUnit = row && units.includes(row.enteredUnit) ? row.enteredUnit : (units[0] ?? '')
    const hint = quantity === 'temperature' ? 'Every visit, held in the water until it is steady.' : ''
    return [
      {
        quantity,
        name: readingName(quantity),
        units,
        lastUnit,
        last: row ? `${row.enteredValue} ${row.enteredUnit}`.trim() : '',
        hint,
      },
    ]
  })
  const readings = record.readings.map((reading): ReadingView => {
    const known = quantityOf(reading.quantity)
    const stored = storedReading(reading)
    const name = readingName(reading.quantity)
    if (!known || 'wrong' in stored) return { ...reading, name, state: 'unknown', words: '' }
    const judged = judgeReading(profile, known, stored.value, reading.enteredUnit)
    const words = judged.state === 'alarm' ? `${judged.words} ${IN_ALARM}` : judged.words
    return { ...reading, name, ...judged, words }
  })
  return { quantities, readings, apart: thermometersApart(record) }
}

function thermometersApart({ readings }: VisitRecord): string | null {
  const storedOf = (quantity: string) => {
    const reading = readings.filter((one) => one.quantity === quantity).at(-1)
    const stored = reading && storedReading(reading)
    return stored && 'value' in stored ? stored.value : null
  }
  const [real, shown] = [storedOf('temperature'), storedOf(SHOWN_TEMPERATURE)]
  if (real === null || shown === null || Math.abs(real - shown) <= THERMOMETERS_APART_C) return null
  return `The two thermometers differ by ${Math.abs(real - shown).toFixed(1)} °C: the tank’s own reads off. Look at the heater’s thermostat; it is replaced, never set anew at a client’s.`
}
