import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { visitsDue } from '../booking/due-by-agreement'
import { addDays, asDay, asDbDate } from '../frame/days'

/** A visit to come: booked, or asked for by the agreement (then without an id). */
export type NextVisit = { visitId: string | null; on: string; movedFrom: string | null }

/** How far an agreement is asked for its next visit. */
const AHEAD_DAYS = 200
const DUE_SHOWN = 3

/**
 * The visits to come of each tank from a day on, in order: the booked ones, and where none is booked after the day
 * asked about, the next few of the agreement. Read anew each time, so that a visit that was moved counts at once.
 */
export async function visitsToCome(
  tx: Transaction,
  businessId: string,
  asked: ReadonlyMap<string, { lastLevelOn: string | null }>,
  today: string,
): Promise<Map<string, NextVisit[]>> {
  const booked = await tx.visit.findMany({
    where: {
      ...{ businessId, tankId: { in: [...asked.keys()] }, state: { in: ['booked', 'under_way'] } },
      localDate: { gte: asDbDate(today) },
    },
    select: { id: true, tankId: true, localDate: true },
    orderBy: [{ localDate: 'asc' }, { id: 'asc' }],
  })
  const moved = await movesOf(
    tx,
    businessId,
    booked.map(({ id }) => id),
  )
  const byTank = new Map<string, NextVisit[]>([...asked.keys()].map((tankId) => [tankId, []]))
  for (const { id, tankId, localDate } of booked)
    byTank.get(tankId)?.push({ visitId: id, on: asDay(localDate), movedFrom: moved.get(id) ?? null })
  const without = [...asked].filter(
    ([tankId, { lastLevelOn }]) => !byTank.get(tankId)?.some(({ on }) => lastLevelOn === null || on > lastLevelOn),
  )
  if (without.length === 0) return byTank
  const due = await visitsDue(
    tx,
    businessId,
    { from: today, to: addDays(today, AHEAD_DAYS), asOf: { today } },
    new Set(),
    without.map(([id]) => id),
  )
  for (const [tankId] of without) {
    const own = due.filter((one) => one.tankId === tankId).slice(0, DUE_SHOWN)
    const visits = [
      ...(byTank.get(tankId) ?? []),
      ...own.map(({ date }) => ({ visitId: null, on: date, movedFrom: null })),
    ]
    byTank.set(
      tankId,
      visits.toSorted((one, other) => (one.on < other.on ? -1 : 1)),
    )
  }
  return byTank
}

/** From which day each visit was moved the last time; only where its day changed. */
async function movesOf(tx: Transaction, businessId: string, visitIds: string[]): Promise<Map<string, string>> {
  const rows = await tx.$queryRaw<{ visitId: string; movedFrom: string }[]>`
    SELECT DISTINCT ON (entity_id) entity_id AS "visitId", left(before ->> 'localDate', 10) AS "movedFrom" FROM audit
    WHERE business_id = ${businessId}::uuid AND entity = 'visit' AND entity_id = ANY (${visitIds}::uuid[]) AND action = 'move'
      AND left(before ->> 'localDate', 10) <> left(after ->> 'localDate', 10)
    ORDER BY entity_id, at DESC, id DESC`
  return new Map(rows.map(({ visitId, movedFrom }) => [visitId, movedFrom]))
}
