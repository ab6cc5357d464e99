import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { survivalAt } from '@/lib/science'
import { asDay, asDbDate } from '../frame/days'
import { groupBy } from '../frame/group-by'
import { dayOf } from '../lanes/day-numbers'
import { chanceBy, type DuePart } from './due-parts'

/** Work due so soon after a visit is asked about there (see the work page), so its part should be on the van. */
const ASKED_AHEAD_DAYS = 14
/** A chance below this is not worth a line. */
const LEAST_CHANCE = 0.01

export type VisitWithNeeds = {
  visitId: string
  tankId: string
  tankName: string
  siteName: string
  technicianId: string | null
  technicianName: string
  /** Local day. */
  on: string
  needs: PartNeed[]
}
/** What a visit may use. `because` says it in words. */
export type PartNeed = {
  partId: string
  quantity: number
  chance: number
  because: 'open' | 'due' | 'chance'
  equipmentId: string
  deviceLabel: string
  careTask: string
  taskName: string
  secondTripMinor: number
}

/** Booked visits of these days in their order, at these tanks or at all, with what each may use. */
export async function visitsWithNeeds(
  tx: Transaction,
  businessId: string,
  { from, to, tankIds }: { from: string; to: string; tankIds?: readonly string[] },
  dueParts: readonly DuePart[],
  todayDay: number,
): Promise<VisitWithNeeds[]> {
  const visits = await tx.visit.findMany({
    where: {
      ...{ businessId, state: { in: ['booked', 'under_way'] }, tank: { archivedAt: null, mergedIntoId: null } },
      ...(tankIds ? { tankId: { in: [...tankIds] } } : {}),
      localDate: { gte: asDbDate(from), lte: asDbDate(to) },
    },
    select: {
      ...{ id: true, tankId: true, localDate: true, technicianId: true },
      tank: { select: { name: true } },
      site: { select: { name: true } },
      technician: { select: { name: true } },
    },
    orderBy: [{ localDate: 'asc' }, { plannedStart: { sort: 'asc', nulls: 'last' } }, { id: 'asc' }],
  })
  const ahead = needsInOrder(
    visits.map(({ id, tankId, localDate }) => ({ id, tankId, day: dayOf(localDate) })),
    dueParts,
    todayDay,
  )
  return visits.map(({ id, tankId, localDate, tank, site, technician, technicianId }) => ({
    ...{ visitId: id, tankId, tankName: tank.name, siteName: site.name, technicianId },
    technicianName: technician?.name ?? '',
    on: asDay(localDate),
    needs: ahead.get(id) ?? [],
  }))
}

/** Of a device's present life the chance that it was seen to so far, and on which days with what chance it began anew. */
type Met = { by: number; renewals: { day: number; chance: number }[]; lastDay: number }
const SURELY = 0.99

/**
 * The chance that what was renewed at an earlier visit needs it again since the last one: by its planned age, or because the new life has ended.
 */
function neededAgain({ life, renewAtDays }: DuePart, { renewals, lastDay }: Met, day: number): number {
  const endedBy = (days: number) => (days >= renewAtDays ? 1 : days <= 0 ? 0 : 1 - survivalAt(life, days))
  return renewals.reduce(
    (sum, renewal) => sum + renewal.chance * (endedBy(day - renewal.day) - endedBy(lastDay - renewal.day)),
    0,
  )
}

/**
 * What each visit may use: a need is met at the first visit that finds it, so a later visit of the same tank has only what comes in between, and what was renewed and is needed again. Work that is due, or will be
 * before long, is done at the first visit. Pure; visits in order of time.
 */
export function needsInOrder(
  visits: readonly { id: string; tankId: string; day: number }[],
  dueParts: readonly DuePart[],
  todayDay: number,
): Map<string, PartNeed[]> {
  const byTank = groupBy(dueParts, ({ tankId }) => tankId)
  const met = new Map<DuePart, Met>()
  return new Map(
    visits.map(({ id, tankId, day }) => {
      const needs = (byTank.get(tankId) ?? []).flatMap((due): PartNeed[] => {
        const isDue = due.dueDay !== null && due.dueDay <= day + ASKED_AHEAD_DAYS
        const before = met.get(due) ?? { by: 0, renewals: [], lastDay: day }
        const by = Math.max(before.by, due.isOpen || isDue ? 1 : chanceBy(due, day - todayDay))
        // What may have happened before is one course of things or another, so these add up to 1 at most, but for rounding.
        const chance = Math.min(1, Math.max(0, by - before.by + neededAgain(due, before, day)))
        const renewals = chance > 0 ? [...before.renewals, { day, chance }] : before.renewals
        met.set(due, { by, renewals, lastDay: day })
        if (chance < LEAST_CHANCE) return []
        const { partId, quantity, equipmentId, deviceLabel, careTask, taskName, secondTripMinor } = due
        const because =
          before.by < 1 && due.isOpen ? 'open' : chance > SURELY && (isDue || before.by === 1) ? 'due' : 'chance'
        const said = { partId, quantity, equipmentId, deviceLabel, careTask, taskName, secondTripMinor }
        return [{ ...said, because, chance }]
      })
      return [id, needs]
    }),
  )
}
