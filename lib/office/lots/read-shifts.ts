import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { findLotShifts, LOT_WINDOW_DAYS, type LotShift, type LotUse, QUANTITIES, type Quantity } from '@/lib/trade'
import { dayIn } from '../frame/days'
import type { Question } from '../frame/stored-answer'
import { dayOf } from '../lanes/day-numbers'

export type ReadLot = LotUse & { label: string }

/** Lots last begun at a tank longer ago than this are history and no longer tested: each test makes the others' rule stricter. */
const LOTS_TESTED_DAYS = 365

/** Where each lot was first used, and where the next one of its kind took over. */
async function readLotUses(
  tx: Transaction,
  businessId: string,
  sinceDay = Number.NEGATIVE_INFINITY,
): Promise<ReadLot[]> {
  const rows = await tx.$queryRaw<
    { lot: string; label: string; kind: ReadLot['kind']; tank: string; firstUsedDay: number; untilDay: number | null }[]
  >`
    WITH used AS (
      SELECT lot.id AS lot, lot.label, lot.kind, coalesce(tank.merged_into_id, tank.id) AS tank, min(lot_use.used_on) AS first_on
      FROM lot_use
      JOIN lot ON lot.business_id = lot_use.business_id AND lot.id = lot_use.lot_id
      JOIN tank ON tank.business_id = lot_use.business_id AND tank.id = lot_use.tank_id
      WHERE lot_use.business_id = ${businessId}::uuid AND NOT lot_use.is_taken_back
        AND NOT EXISTS (SELECT 1 FROM lot_use newer WHERE newer.business_id = lot_use.business_id AND newer.corrects_id = lot_use.id)
      GROUP BY 1, 2, 3, 4
    )
    SELECT lot, label, kind, tank, first_on - DATE '1970-01-01' AS "firstUsedDay",
      (SELECT min(later.first_on) - DATE '1970-01-01' FROM used later
        WHERE later.tank = used.tank AND later.kind = used.kind AND later.lot <> used.lot AND later.first_on > used.first_on) AS "untilDay"
    FROM used ORDER BY lot, tank`
  const lots = new Map<string, ReadLot & { tanks: LotUse['tanks'][number][] }>()
  for (const { lot, label, kind, tank, firstUsedDay, untilDay } of rows) {
    const known = lots.get(lot) ?? { lot, label, kind, tanks: [] }
    known.tanks.push({ tank, firstUsedDay, ...(untilDay === null ? {} : { untilDay }) })
    lots.set(lot, known)
  }
  return [...lots.values()].filter(({ tanks }) => tanks.some(({ firstUsedDay }) => firstUsedDay >= sinceDay))
}

/** Readings of the tanks' water from one day to another, in the stored unit, as they stand after corrections. */
async function readSeries(tx: Transaction, businessId: string, fromDay: number, toDay: number) {
  const rows = await tx.$queryRaw<{ tank: string; quantity: string; days: number[]; values: number[] }[]>`
    SELECT coalesce(tank.merged_into_id, tank.id) AS tank, reading.quantity,
      array_agg(reading.taken_on - DATE '1970-01-01' ORDER BY reading.taken_at, reading.id) AS days,
      array_agg(reading.value::float8 ORDER BY reading.taken_at, reading.id) AS values
    FROM reading JOIN tank ON tank.business_id = reading.business_id AND tank.id = reading.tank_id
    WHERE reading.business_id = ${businessId}::uuid AND reading.equipment_id IS NULL
      AND reading.quantity = ANY (${Object.keys(QUANTITIES)})
      AND reading.taken_on BETWEEN DATE '1970-01-01' + ${fromDay}::int AND DATE '1970-01-01' + ${toDay}::int
      AND NOT EXISTS (SELECT 1 FROM reading newer WHERE newer.business_id = reading.business_id AND newer.corrects_id = reading.id)
    GROUP BY 1, 2 ORDER BY 1, 2`
  return rows.map(({ tank, quantity, days, values }) => ({
    tank,
    quantity: quantity as Quantity, // one of the keys asked for
    values: days.map((day, place) => ({ day, value: values[place] ?? Number.NaN })),
  }))
}

/** Every lot × quantity that can be tested, of the lots of the last year, the shifts found first. The same answer on every page. */
async function readLotShifts(
  tx: Transaction,
  businessId: string,
  todayDay: number,
): Promise<{ lots: ReadLot[]; shifts: LotShift[] }> {
  const lots = await readLotUses(tx, businessId, todayDay - LOTS_TESTED_DAYS)
  const days = lots.flatMap(({ tanks }) => tanks.map(({ firstUsedDay }) => firstUsedDay))
  if (days.length === 0) return { lots, shifts: [] }
  const first = days.reduce((least, day) => Math.min(least, day))
  const last = days.reduce((most, day) => Math.max(most, day))
  const series = await readSeries(tx, businessId, first - LOT_WINDOW_DAYS, last + LOT_WINDOW_DAYS)
  return { lots, shifts: findLotShifts(lots, series) }
}

export type LotFindings = { lots: { lot: string; label: string }[]; shifts: LotShift[] }

/** What was found of each lot; the tanks' own changes only where something was. */
export const LOT_FINDINGS: Question<LotFindings> = {
  name: 'lot-findings',
  shape: 1,
  freshForMs: 3_600_000,
  workOut: async (tx, businessId, now) => {
    const { timeZone } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } })
    const { lots, shifts } = await readLotShifts(tx, businessId, dayOf(new Date(dayIn(timeZone, now))))
    return {
      lots: lots.map(({ lot, label }) => ({ lot, label })),
      shifts: shifts.map((shift) => (shift.found ? shift : { ...shift, changes: [] })),
    }
  },
}
