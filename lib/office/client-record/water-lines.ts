import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { judgeReading, profileOf, QUANTITIES, type Quantity, TANK_KINDS, type TankKind } from '@/lib/trade'
import { groupBy } from '../frame/group-by'

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
/** Enough to see a year and a half of fortnights of all that is usually measured. */
const READINGS_MAX = 240
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
  return linesOf(
    profile,
    readings
      .reverse()
      .map(({ quantity, value, takenOn }) => ({ quantity, value: value.toNumber(), date: isoOf(takenOn) })),
  )
}

/** The newest reading of each quantity in each of these tanks: what a list says of them in a few words. */
export async function newestWaterOf(
  tx: Transaction,
  businessId: string,
  tanks: readonly { id: string; profile: string }[],
): Promise<(tankId: string) => WaterLine[]> {
  const rows = await tx.$queryRaw<(Reading & { tankId: string })[]>`
    SELECT asked.tank_id AS "tankId", newest.quantity, newest.value::float8 AS value, newest.taken_on::text AS date
    FROM unnest(${tanks.map(({ id }) => id)}::uuid[]) asked (tank_id) CROSS JOIN unnest(${QUANTITY_NAMES}::text[]) measured (quantity)
    CROSS JOIN LATERAL (
      SELECT * FROM reading WHERE reading.business_id = ${businessId}::uuid AND reading.tank_id = asked.tank_id
        AND reading.quantity = measured.quantity AND reading.equipment_id IS NULL
        AND NOT EXISTS (SELECT 1 FROM reading newer WHERE newer.business_id = reading.business_id AND newer.corrects_id = reading.id)
      ORDER BY reading.taken_on DESC, reading.id DESC LIMIT 1) newest`
  const ofTank = groupBy(rows, ({ tankId }) => tankId)
  const profiles = new Map(tanks.map(({ id, profile }) => [id, profile]))
  return (tankId) => linesOf(profiles.get(tankId) ?? '', ofTank.get(tankId) ?? [])
}

type Reading = { quantity: string; value: number; date: string }

/** Readings of one tank, oldest first, as lines. */
function linesOf(profile: string, readings: readonly Reading[]): WaterLine[] {
  const kind = TANK_KINDS.find((known): known is TankKind => known === profile)
  const water = kind ? profileOf(kind) : null
  const byQuantity = new Map<Quantity, { date: string; value: number }[]>()
  for (const reading of readings) {
    const quantity = QUANTITY_NAMES.find((known) => known === reading.quantity)
    if (!quantity) continue
    const points = byQuantity.get(quantity) ?? []
    points.push({ date: reading.date, value: reading.value })
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
