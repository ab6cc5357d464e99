import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import type { ClientCostRow, IntervalChoices } from './due-items'

/** What a need costs more at the client of each of these tanks: the newest word counts. */
export async function readClientCosts(
  tx: Transaction,
  businessId: string,
  tankIds: string[],
): Promise<(tankId: string) => ClientCostRow | null> {
  const rows = await tx.$queryRaw<(ClientCostRow & { tankId: string })[]>`
    SELECT tank.id AS "tankId", cost.travel_minor AS "travelMinor", cost.goodwill_minor AS "goodwillMinor",
      cost.animals_per_day_minor AS "animalsPerDayMinor"
    FROM tank JOIN LATERAL (
      SELECT * FROM client_cost WHERE client_cost.business_id = tank.business_id AND client_cost.client_id = tank.client_id
      ORDER BY made_at DESC, id DESC LIMIT 1) cost ON true
    WHERE tank.business_id = ${businessId}::uuid AND tank.id = ANY (${tankIds}::uuid[])`
  const byTank = new Map(rows.map(({ tankId, ...cost }) => [tankId, cost]))
  return (tankId) => byTank.get(tankId) ?? null
}

type ChoiceRow = {
  equipmentId: string
  careTask: string
  failureMode: string | null
  decision: string
  intervalDays: number | null
  day: number
  createdAt: Date
  id: string
}

/**
 * What the owner said of intervals on the devices of these tanks. A choice follows the slot: a device that was swapped keeps what was said of
 * the one before.
 */
export async function readChoices(
  tx: Transaction,
  businessId: string,
  tankIds: string[],
): Promise<(equipmentId: string, careTask: string, failureMode: string) => IntervalChoices> {
  const rows = await tx.$queryRaw<ChoiceRow[]>`
    SELECT DISTINCT ON (holder.id, choice.care_task, choice.decision, choice.failure_mode) holder.id AS "equipmentId",
      choice.care_task AS "careTask", choice.failure_mode AS "failureMode", choice.decision,
      choice.interval_days AS "intervalDays", choice.decided_on - DATE '1970-01-01' AS day,
      choice.created_at AS "createdAt", choice.id
    FROM equipment holder
    JOIN equipment chosen ON chosen.business_id = holder.business_id AND chosen.slot_id = holder.slot_id
      AND chosen.equipment_class = holder.equipment_class
    JOIN interval_choice choice ON choice.business_id = chosen.business_id AND choice.equipment_id = chosen.id
    JOIN tank home ON home.business_id = holder.business_id AND home.id = holder.tank_id
    WHERE holder.business_id = ${businessId}::uuid AND coalesce(home.merged_into_id, home.id) = ANY (${tankIds}::uuid[])
    ORDER BY holder.id, choice.care_task, choice.decision, choice.failure_mode, choice.created_at DESC, choice.id DESC`
  const known = new Map<string, ChoiceRow[]>()
  for (const row of rows) {
    const key = `${row.equipmentId} ${row.careTask}`
    known.set(key, [...(known.get(key) ?? []), row])
  }
  for (const said of known.values())
    said.sort((a, b) => b.createdAt.getTime() - a.createdAt.getTime() || (a.id < b.id ? 1 : -1))
  return (equipmentId, careTask, failureMode) => choicesFor(failureMode, known.get(`${equipmentId} ${careTask}`) ?? [])
}

/**
 * What was said of one fault, newest first in `rows`. The newest word on this fault, or on all faults of the work, holds. What was accepted
 * since for another fault of the same work holds here where it is shorter: the work is done that often anyway.
 */
export function choicesFor(
  failureMode: string,
  rows: readonly Pick<ChoiceRow, 'failureMode' | 'decision' | 'intervalDays' | 'day'>[],
): IntervalChoices {
  const daysOf = ({ intervalDays }: { intervalDays: number | null }) => intervalDays ?? Number.POSITIVE_INFINITY
  const isOfThis = (row: { failureMode: string | null }) => row.failureMode === failureMode || row.failureMode === null
  const accepted = rows.filter(({ decision }) => decision === 'accepted')
  const own = accepted.find(isOfThis)
  const forAll = accepted.findIndex((row) => row.failureMode === null)
  const others = accepted.slice(0, forAll < 0 ? accepted.length : forAll).filter((row) => !isOfThis(row))
  const declined = rows.find((row) => row.decision !== 'accepted' && isOfThis(row))
  return {
    ...(own ? { acceptedDays: daysOf(own) } : {}),
    ...(others.length > 0 ? { atMostDays: Math.min(...others.map(daysOf)) } : {}),
    ...(declined ? { declinedDays: daysOf(declined), declinedDay: declined.day } : {}),
  }
}

/**
 * What the parts of a piece of work cost, minor units: those named for the device itself, else those for every device of its class. Parts off the
 * list count no more. 0 where none is known.
 */
export async function readPartsCosts(
  tx: Transaction,
  businessId: string,
): Promise<(equipmentId: string, careTask: string) => number> {
  const rows = await tx.partFit.findMany({
    where: { businessId, part: { archivedAt: null } },
    select: { careTask: true, equipmentId: true, quantity: true, part: { select: { costMinor: true } } },
    orderBy: { id: 'asc' },
  })
  const byWork = new Map<string, number>()
  for (const { careTask, equipmentId, quantity, part } of rows) {
    const key = `${equipmentId ?? ''} ${careTask}`
    byWork.set(key, (byWork.get(key) ?? 0) + Math.round(quantity.toNumber() * part.costMinor))
  }
  return (equipmentId, careTask) => byWork.get(`${equipmentId} ${careTask}`) ?? byWork.get(` ${careTask}`) ?? 0
}
