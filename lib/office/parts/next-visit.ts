import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { asDbDate } from '../frame/days'
import { dayOf } from '../lanes/day-numbers'
import { readCadences } from '../lanes/read-history'

/** When somebody comes next: in so many days, by a booking or by how often we usually come. */
export type NextVisit = { inDays: number; isBooked: boolean }

/**
 * When each of these tanks is next visited. Without a booking it is taken to be as long after the last visit as we usually come, but not before tomorrow; never
 * visited, one such stretch from now.
 */
export async function readNextVisits(
  tx: Transaction,
  { businessId, today, todayDay }: { businessId: string; today: string; todayDay: number },
  tankIds: string[],
): Promise<(tankId: string) => NextVisit> {
  const ahead = await tx.visit.groupBy({
    by: ['tankId'],
    where: {
      ...{ businessId, tankId: { in: tankIds }, state: { in: ['booked', 'under_way'] } },
      localDate: { gte: asDbDate(today) },
    },
    _min: { localDate: true },
  })
  const done = await tx.visit.groupBy({
    by: ['tankId'],
    where: { businessId, tankId: { in: tankIds }, state: 'done', localDate: { lte: asDbDate(today) } },
    _max: { localDate: true },
  })
  const bookedOn = new Map(ahead.map(({ tankId, _min }) => [tankId, _min.localDate]))
  const lastOn = new Map(done.map(({ tankId, _max }) => [tankId, _max.localDate]))
  const everyDays = await readCadences(tx, businessId, tankIds)
  return (tankId) => {
    const booked = bookedOn.get(tankId)
    if (booked) return { inDays: dayOf(booked) - todayDay, isBooked: true }
    return { inDays: usualNextDays(everyDays(tankId), lastOn.get(tankId), todayDay), isBooked: false }
  }
}

function usualNextDays(everyDays: number, lastOn: Date | null | undefined, todayDay: number): number {
  return lastOn ? Math.max(1, dayOf(lastOn) + everyDays - todayDay) : everyDays
}
