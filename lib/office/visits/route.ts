import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { clockIn } from '../booking/local-time'
import { type VisitNotDone, visitsNotDone } from '../booking/not-done'
import { type AsOf, asOf, dueForTanksIn } from '../due/queries'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay, asDbDate, dayIn } from '../frame/days'
import { readStockBook } from '../parts/parts-book'
import { loadForDay } from '../parts/vans-page'

export type RouteStop = {
  visitId: string
  state: string
  time: string
  clientName: string
  siteName: string
  tankName: string
  address: string
  accessNote: string
  dangerousAnimals: string
  remark: string
  whatFor: string
  due: string[]
  outcome: string | null
  /** Parts for due work that are not on the van, in words. */
  lacking: string[]
}
export type RouteLoad = NonNullable<Awaited<ReturnType<typeof loadForDay>>>
export type Route = {
  today: string
  day: string
  locale: string
  technicianId: string
  technicians: { id: string; name: string }[]
  stops: RouteStop[]
  /** Of earlier days, with nothing logged; on today's route only. */
  notDone: VisitNotDone[]
  /** What to load into the van; null where no parts are kept or whoever drives has no van. */
  load: { vanId: string; vanName: string; lines: RouteLoad['lines'] } | null
}

/**
 * The stops of one technician on one day in the order of driving. The owner may ask for any technician; a technician sees
 * their own. Left without a day: today, where the business is.
 */
export function findRoute(
  actor: Actor,
  asked: { technicianId?: string | undefined; day?: string | undefined },
  now: Date,
): Promise<Route> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const at = await asOf(tx, businessId, now)
    const { today, locale } = at
    const day = asked.day ?? today
    const isOwner = actor.roles.includes('owner')
    const technicians = isOwner
      ? await tx.person.findMany({
          where: { businessId, isTechnician: true, archivedAt: null, mergedIntoId: null },
          orderBy: [{ name: 'asc' }, { id: 'asc' }],
          select: { id: true, name: true },
        })
      : []
    const own = technicians.some(({ id }) => id === actor.personId)
      ? actor.personId
      : (technicians[0]?.id ?? actor.personId)
    const technicianId = isOwner ? (technicians.find(({ id }) => id === asked.technicianId)?.id ?? own) : actor.personId
    const visits = await tx.visit.findMany({
      where: { businessId, technicianId, localDate: asDbDate(day), state: { not: 'cancelled' } },
      orderBy: [{ plannedStart: { sort: 'asc', nulls: 'last' } }, { arrivedAt: 'asc' }, { id: 'asc' }],
      include: {
        client: { select: { name: true } },
        site: { include: { sitePrivate: { select: { accessNote: true } } } },
        tank: {
          select: {
            name: true,
            dangerousAnimals: true,
            // Booked for another day it was answered there.
            visitRequests: {
              where: { OR: [{ state: 'open' }, { state: 'booked', visit: { localDate: asDbDate(day) } }] },
              orderBy: [{ askedAt: 'desc' }, { id: 'desc' }],
              take: 1,
            },
          },
        },
      },
    })
    const tankIds = visits.map(({ tankId }) => tankId)
    const load = await loadOf(tx, businessId, at, { technicianId, day, tankIds })
    const toCome = visits.filter(({ state }) => state !== 'done').map(({ tankId }) => tankId)
    const dueAt = await dueForTanksIn(tx, businessId, toCome, at)
    const stops = visits.map((visit): RouteStop => {
      const due = visit.state === 'done' ? [] : (dueAt.get(visit.tankId) ?? [])
      const begins = visit.plannedStart ?? visit.arrivedAt
      return {
        ...{ visitId: visit.id, state: visit.state, outcome: visit.outcome, whatFor: visit.whatFor },
        time: begins ? clockIn(visit.timeZone, begins) : visit.windowStart,
        clientName: visit.client.name,
        siteName: visit.site.name,
        tankName: visit.tank.name,
        address: [visit.site.address, visit.site.city].filter(Boolean).join(', '),
        accessNote: visit.site.sitePrivate?.accessNote ?? '',
        dangerousAnimals: visit.tank.dangerousAnimals,
        remark: visit.tank.visitRequests[0]?.words ?? '',
        lacking: load?.lacking.get(visit.id) ?? [],
        due: [
          ...new Set(
            due.map(
              (item) => `${item.equipmentLabel}: ${item.onlyToLook ? `look for ${item.modeWords}` : item.taskName}`,
            ),
          ),
        ],
      }
    })
    const { visits: notDone } = day === today ? await visitsNotDone(tx, businessId, now, technicianId) : { visits: [] }
    return {
      notDone,
      ...{ today, day: asDay(asDbDate(day)), locale, technicianId, technicians, stops },
      load: load && { vanId: load.van.id, vanName: load.van.name, lines: load.lines },
    }
  })
}

type DayOfOne = Parameters<typeof loadForDay>[2]

/** What to load; a business that keeps no van pays nothing for it but the question whether there is one. */
async function loadOf(tx: Transaction, businessId: string, at: AsOf, asked: DayOfOne): Promise<RouteLoad | null> {
  const van = { businessId, kind: 'van', personId: asked.technicianId, archivedAt: null }
  if (!(await tx.stockPlace.findFirst({ where: van, select: { id: true } }))) return null
  return loadForDay(tx, await readStockBook(tx, businessId, at), asked)
}

/** A tank at which a visit can be logged now, with the visit already planned there today, if any. */
export function findTankToVisit(actor: Actor, tankId: string, now: Date) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const tank = await tx.tank.findFirst({
      where: { businessId, id: tankId, archivedAt: null, mergedIntoId: null },
      select: {
        ...{
          id: true,
          name: true,
          client: { select: { name: true } },
          site: { select: { name: true, timeZone: true } },
        },
        business: { select: { timeZone: true } },
      },
    })
    if (!tank) return null
    const today = dayIn(tank.site.timeZone ?? tank.business.timeZone, now)
    const planned = await tx.visit.findFirst({
      where: { businessId, tankId, localDate: asDbDate(today), state: { in: ['booked', 'under_way'] } },
      orderBy: [{ plannedStart: 'asc' }, { id: 'asc' }],
      select: { id: true, state: true },
    })
    return { businessId, tankId, tankName: tank.name, clientName: tank.client.name, siteName: tank.site.name, planned }
  })
}
