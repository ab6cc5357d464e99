import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { judgeReading, profileOf, QUANTITIES, type Quantity, TANK_KINDS, type TankKind } from '@/lib/trade'

export type WaterLine = {
  quantity: Quantity
  name: string
  unit: string
  value: number
  date: string
  words: string
  isFine: boolean
  /** Against the target of this water; `unknown` where there is none. */
  how: 'fine' | 'off' | 'far' | 'unknown'
  target: { low: number; high: number } | null
  points: { date: string; value: number }[]
}
const HOW = { ok: 'fine', low: 'off', high: 'off', alarm: 'far', unknown: 'unknown' } as const
const READINGS_MAX = 600
const ISO_DAY = 10
const isoOf = (date: Date) => date.toISOString().slice(0, ISO_DAY)

/** Each quantity measured in a tank: the last value in a client's words, and how it went over time. */
export async function waterOf(
  tx: Transaction,
  businessId: string,
  tankId: string,
  profile: string,
): Promise<WaterLine[]> {
  const readings = await tx.reading.findMany({
    where: { businessId, tankId, equipmentId: null, correctedBy: null },
    select: { quantity: true, value: true, takenOn: true },
    orderBy: [{ takenOn: 'desc' }, { id: 'desc' }],
    take: READINGS_MAX,
  })
  const kind = TANK_KINDS.find((known): known is TankKind => known === profile)
  const water = kind ? profileOf(kind) : null
  const byQuantity = new Map<Quantity, { date: string; value: number }[]>()
  for (const reading of readings.reverse()) {
    const quantity = QUANTITY_NAMES.find((known) => known === reading.quantity)
    if (!quantity) continue
    const points = byQuantity.get(quantity) ?? []
    points.push({ date: isoOf(reading.takenOn), value: reading.value.toNumber() })
    byQuantity.set(quantity, points)
  }
  return QUANTITY_NAMES.flatMap((quantity) => {
    const points = byQuantity.get(quantity)
    const last = points?.at(-1)
    if (!points || !last) return []
    const judged = water ? judgeReading(water, quantity, last.value) : null
    const how = HOW[judged?.state ?? 'unknown']
    const target = water?.targets[quantity]
    const { name, unit } = QUANTITIES[quantity]
    return [
      {
        quantity,
        name: name.replace(/ \(.*\)| as .*$/, ''),
        unit: unit.replace(' N', ''),
        value: last.value,
        date: last.date,
        words: judged?.clientWords ?? '',
        isFine: how === 'fine' || how === 'unknown',
        how,
        target: target?.low !== undefined && target.high !== undefined ? { low: target.low, high: target.high } : null,
        points,
      },
    ]
  })
}

// The keys of a const object are its quantities.
const QUANTITY_NAMES = Object.keys(QUANTITIES) as Quantity[]
