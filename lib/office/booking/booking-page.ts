import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { accessWindowWords, readAccessWindows } from '../clients/access-windows'
import type { AccessWindow } from '../clients/schema'
import { searchWords } from '../clients/search-words'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay, asDbDate, dayIn } from '../frame/days'
import { PLAN_ORDER, PLANNED_VISIT, type PlannedVisit, plannedVisit } from './planned-visit'
import { plannableTechnicians, type Technician } from './technicians'

/** A tank somebody may want to book. */
export type TankFound = {
  id: string
  name: string
  siteName: string
  city: string
  clientName: string
  lastVisitOn: string | null
  nextVisitOn: string | null
}

/** What one looks at while booking a tank. */
export type TankToBook = {
  id: string
  name: string
  siteName: string
  address: string
  clientName: string
  timeZone: string
  accessNote: string
  accessWindows: string[]
  /** The same, to be compared with a day and its times. */
  openTimes: AccessWindow[]
  agreement: { everyDays: number; visitMinutes: number; includes: string; preferredPersonId: string | null } | null
  lastVisitOn: string | null
  booked: { id: string; date: string }[]
}

type Frame = { today: string; locale: string; technicians: Technician[] }
export type DayBeside = { date: string; technicianId: string; name: string; visits: PlannedVisit[] }

export type BookingPage = Frame & {
  found: TankFound[]
  tank: TankToBook | null
  request: { id: string; words: string; clientName: string } | null
  day: DayBeside | null
}

export type BookingQuery = {
  search: string
  tankId?: string | undefined
  requestId?: string | undefined
  date?: string | undefined
  technicianId?: string | undefined
}

const TANKS_FOUND_MAX = 30

/** All the booking page shows: tanks for what was searched, else the tank (or the request's), and the day beside. */
export function bookingPage(actor: Actor, query: BookingQuery, now = new Date()): Promise<BookingPage> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const frame = await readFrame(tx, businessId, now)
    const request =
      query.requestId === undefined
        ? null
        : await tx.visitRequest.findFirst({
            where: { businessId, id: query.requestId, state: 'open' },
            select: { id: true, words: true, tankId: true, client: { select: { name: true } } },
          })
    const tankId = request?.tankId ?? query.tankId
    const tank = tankId === undefined ? null : await tankToBook(tx, businessId, tankId, frame.today)
    const technicianId = query.technicianId ?? tank?.agreement?.preferredPersonId ?? undefined
    return {
      ...frame,
      found: tank ? [] : await tanksFound(tx, businessId, query.search, frame.today),
      tank,
      request: request ? { id: request.id, words: request.words, clientName: request.client.name } : null,
      day: tank ? await dayBeside(tx, businessId, frame, { date: query.date ?? frame.today, technicianId, now }) : null,
    }
  })
}

export type MovePage = Frame & {
  visit: PlannedVisit
  tank: TankToBook | null
  day: DayBeside | null
  cancelledReason: string
}

/** A visit of the plan with the day beside, to move or cancel it; null where there is none. */
export function movePage(
  actor: Actor,
  visitId: string,
  asked: { date?: string | undefined; technicianId?: string | undefined },
  now = new Date(),
): Promise<MovePage | null> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const row = await tx.visit.findUnique({
      where: { businessId_id: { businessId, id: visitId } },
      select: { ...PLANNED_VISIT, visitPrivate: { select: { cancelledReason: true } } },
    })
    if (!row) return null
    const frame = await readFrame(tx, businessId, now)
    const visit = plannedVisit(row, now)
    const technicianId = asked.technicianId ?? visit.technicianId ?? undefined
    return {
      ...frame,
      visit,
      tank: await tankToBook(tx, businessId, visit.tankId, frame.today),
      day: await dayBeside(tx, businessId, frame, { date: asked.date ?? visit.date, technicianId, now }),
      cancelledReason: row.visitPrivate?.cancelledReason ?? '',
    }
  })
}

async function readFrame(tx: Transaction, businessId: string, now: Date): Promise<Frame> {
  const { timeZone, locale } = await tx.business.findUniqueOrThrow({
    where: { id: businessId },
    select: { timeZone: true, locale: true },
  })
  return { today: dayIn(timeZone, now), locale, technicians: await plannableTechnicians(tx, businessId) }
}

async function dayBeside(
  tx: Transaction,
  businessId: string,
  frame: Frame,
  { date, technicianId, now }: { date: string; technicianId: string | undefined; now: Date },
): Promise<DayBeside | null> {
  const technician = frame.technicians.find(({ id }) => id === technicianId)
  if (!technician) return null
  const visits = await tx.visit.findMany({
    where: { businessId, technicianId: technician.id, localDate: asDbDate(date), state: { not: 'cancelled' } },
    select: PLANNED_VISIT,
    orderBy: [...PLAN_ORDER],
  })
  return {
    date,
    technicianId: technician.id,
    name: technician.name,
    visits: visits.map((row) => plannedVisit(row, now)),
  }
}

async function tanksFound(tx: Transaction, businessId: string, search: string, today: string): Promise<TankFound[]> {
  const words = searchWords(search)
  const tanks = await tx.tank.findMany({
    where: {
      businessId,
      archivedAt: null,
      mergedIntoId: null,
      AND: words.map((word) => {
        const holds = { contains: word, mode: 'insensitive' } as const
        return {
          OR: [
            { name: holds },
            { client: { name: holds } },
            { site: { OR: [{ name: holds }, { address: holds }, { city: holds }, { postcode: holds }] } },
          ],
        }
      }),
    },
    select: {
      id: true,
      name: true,
      site: { select: { name: true, city: true } },
      client: { select: { name: true } },
    },
    orderBy: [{ site: { name: 'asc' } }, { name: 'asc' }, { id: 'asc' }],
    take: TANKS_FOUND_MAX,
  })
  const tankId = { in: tanks.map(({ id }) => id) }
  const last = await tx.visit.groupBy({
    by: ['tankId'],
    where: { businessId, tankId, state: 'done' },
    _max: { localDate: true },
  })
  const next = await tx.visit.groupBy({
    by: ['tankId'],
    where: { businessId, tankId, state: 'booked', localDate: { gte: asDbDate(today) } },
    _min: { localDate: true },
  })
  return tanks.map(({ id, name, site, client }) => ({
    id,
    name,
    siteName: site.name,
    city: site.city,
    clientName: client.name,
    lastVisitOn: asDay(last.find((row) => row.tankId === id)?._max.localDate ?? null),
    nextVisitOn: asDay(next.find((row) => row.tankId === id)?._min.localDate ?? null),
  }))
}

async function tankToBook(
  tx: Transaction,
  businessId: string,
  tankId: string,
  today: string,
): Promise<TankToBook | null> {
  const tank = await tx.tank.findFirst({
    where: { businessId, id: tankId, mergedIntoId: null, archivedAt: null },
    select: {
      id: true,
      name: true,
      clientId: true,
      client: { select: { name: true } },
      business: { select: { timeZone: true } },
      site: { select: { name: true, address: true, city: true, timeZone: true, sitePrivate: true } },
      agreements: {
        where: { startsOn: { lte: asDbDate(today) }, OR: [{ endsOn: null }, { endsOn: { gte: asDbDate(today) } }] },
        orderBy: [{ startsOn: 'desc' }, { id: 'desc' }],
        take: 1,
      },
    },
  })
  if (!tank) return null
  const last = await tx.visit.aggregate({ where: { businessId, tankId, state: 'done' }, _max: { localDate: true } })
  const booked = await tx.visit.findMany({
    where: { businessId, tankId, state: 'booked', localDate: { gte: asDbDate(today) } },
    select: { id: true, localDate: true },
    orderBy: [{ localDate: 'asc' }, { id: 'asc' }],
    take: 5,
  })
  const openTimes = readAccessWindows(tank.site.sitePrivate?.accessWindows)
  const agreement = tank.agreements.find(({ clientId }) => clientId === tank.clientId)
  return {
    id: tank.id,
    name: tank.name,
    siteName: tank.site.name,
    address: [tank.site.address, tank.site.city].filter((part) => part !== '').join(', '),
    clientName: tank.client.name,
    timeZone: tank.site.timeZone ?? tank.business.timeZone,
    accessNote: tank.site.sitePrivate?.accessNote ?? '',
    accessWindows: openTimes.map(accessWindowWords),
    openTimes,
    agreement: agreement
      ? {
          everyDays: agreement.everyDays,
          visitMinutes: agreement.visitMinutes,
          includes: agreement.includes,
          preferredPersonId: agreement.preferredPersonId,
        }
      : null,
    lastVisitOn: asDay(last._max.localDate),
    booked: booked.map(({ id, localDate }) => ({ id, date: asDay(localDate) })),
  }
}
