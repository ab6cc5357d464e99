import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../frame/actor'
import { dayIn } from '../frame/days'
import { groupBy } from '../frame/group-by'
import { type Balance, readBalance, readInvoiceStandings } from '../money/ledger'
import { type RecordVisit, recordVisit, VISIT_SELECT } from './recorded-visit'
import { type TankState, tankState } from './tank-state'
import { newestWaterOf, type WaterLine, waterOf } from './water-lines'

export type TankLine = {
  tankId: string
  name: string
  siteName: string
  lastVisitOn: string | null
  next: { date: string; window: string } | null
  /** How the tank is, in a few words; null where nothing was measured or done yet. */
  state: TankState | null
  /** What they asked for and nobody has dealt with yet, the newest first. */
  waiting: { id: string; askedOn: string }[]
}
export type TankRecord = {
  /** The number of the business; blank where it has given none. */
  phone: string
  today: string
  locale: string
  tank: { id: string; name: string; siteName: string; isHeld: boolean }
  last: RecordVisit | null
  water: WaterLine[]
  next: { date: string; window: string; whatFor: string; technician: string | null }[]
  earlier: { visitId: string; date: string; opening: string; minutes: number | null }[]
  requests: { id: string; words: string; askedOn: string; state: 'open' | 'booked' | 'answered'; answer: string }[]
}

const EARLIER_MAX = 30
const ISO_DAY = 10
const isoOf = (date: Date) => date.toISOString().slice(0, ISO_DAY)
/** The client's tanks, each with its last and its next visit. */
export function ourTanks(actor: Actor, now: Date): Promise<{ tanks: TankLine[]; invoices: number }> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const today = await todayOf(tx, businessId, now)
    const tanks = await tx.tank.findMany({
      where: { businessId, archivedAt: null, mergedIntoId: null, clientId: clientOf(actor) },
      select: { id: true, name: true, profile: true, site: { select: { name: true } } },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    })
    const asked = await tx.visitRequest.findMany({
      where: { businessId, state: 'open', tankId: { in: tanks.map(({ id }) => id) } },
      select: { id: true, tankId: true, askedAt: true },
      orderBy: [{ askedAt: 'desc' }, { id: 'desc' }],
    })
    const ids = tanks.map(({ id }) => id)
    const visits = new Map((await lastAndNextVisits(tx, businessId, ids, today)).map((row) => [row.tankId, row]))
    const waterAt = await newestWaterOf(tx, businessId, tanks)
    const waiting = groupBy(asked, ({ tankId }) => tankId)
    const lines = tanks.map((tank): TankLine => {
      const known = visits.get(tank.id)
      return {
        tankId: tank.id,
        name: tank.name,
        siteName: tank.site.name,
        lastVisitOn: known?.lastOn ?? null,
        next: known?.nextOn ? { date: known.nextOn, window: windowWords(known) } : null,
        state: tankState(known?.lastOutcome ?? null, waterAt(tank.id)),
        waiting: (waiting.get(tank.id) ?? []).map(({ id, askedAt }) => ({ id, askedOn: isoOf(askedAt) })),
      }
    })
    return { tanks: lines, invoices: await tx.invoice.count({ where: { businessId } }) }
  })
}

/** Everything a client reads about one tank. Null where it is not theirs; their own time stays theirs when it changes hands. */
export function tankRecord(actor: Actor, tankId: string, now: Date): Promise<TankRecord | null> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const tank = await tx.tank.findUnique({
      where: { businessId_id: { businessId, id: tankId } },
      select: { id: true, name: true, profile: true, clientId: true, site: { select: { name: true } } },
    })
    if (!tank) return null
    const { locale, phone } = await tx.business.findUniqueOrThrow({
      where: { id: businessId },
      select: { locale: true, phone: true },
    })
    const today = await todayOf(tx, businessId, now)
    const visits = await tx.visit.findMany({
      where: { businessId, tankId, state: 'done' },
      select: VISIT_SELECT,
      orderBy: [{ localDate: 'desc' }, { id: 'desc' }],
      take: EARLIER_MAX + 1,
    })
    const [last, ...earlier] = visits
    const requests = await tx.visitRequest.findMany({
      where: { businessId, tankId },
      orderBy: [{ askedAt: 'desc' }, { id: 'desc' }],
      take: 10,
    })
    const isHeld = tank.clientId === clientOf(actor)
    return {
      today,
      locale,
      phone,
      tank: { id: tank.id, name: tank.name, siteName: tank.site.name, isHeld },
      last: last ? recordVisit(last) : null,
      water: await waterOf(tx, businessId, tankId, tank.profile),
      next: isHeld ? await nextVisits(tx, businessId, tankId, today, 5) : [],
      earlier: earlier.map((visit) => ({
        visitId: visit.id,
        date: isoOf(visit.localDate),
        minutes: visit.minutes,
        opening: recordVisit(visit).plain.opening,
      })),
      requests: requests.map((request) => ({
        id: request.id,
        words: request.words,
        askedOn: isoOf(request.askedAt),
        // The database holds these to their known values.
        state: request.state as 'open' | 'booked' | 'answered',
        answer: request.answer,
      })),
    }
  })
}

/** One earlier visit in plain words. Null where it is not theirs. */
export function recordedVisit(
  actor: Actor,
  tankId: string,
  visitId: string,
): Promise<(RecordVisit & { tankName: string; locale: string }) | null> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const visit = await tx.visit.findFirst({
      where: { businessId, id: visitId, tankId, state: 'done' },
      select: {
        ...VISIT_SELECT,
        tank: { select: { name: true } },
        business: { select: { locale: true, country: true } },
      },
    })
    return visit ? { ...recordVisit(visit), tankName: visit.tank.name, locale: visit.business.locale } : null
  })
}

export type RecordInvoice = {
  id: string
  number: string
  documentType: 'invoice' | 'credit_note'
  issuedOn: string
  dueOn: string | null
  /** Negative on a credit note. */
  grossMinor: number
  /** What is still owed of an invoice; of a credit note nothing is. */
  outstandingMinor: number
  currency: string
}

/** The client's issued invoices, newest first. */
export function ourInvoices(
  actor: Actor,
  now: Date,
): Promise<{ locale: string; invoices: RecordInvoice[]; balances: Balance[] }> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const { locale, currency, timeZone } = await tx.business.findUniqueOrThrow({
      where: { id: businessId },
      select: { locale: true, currency: true, timeZone: true },
    })
    const asked = { businessId, currency, asAt: dayIn(timeZone, now), clientIds: [clientOf(actor)] }
    const rows = await tx.invoice.findMany({
      where: { businessId, state: 'issued' },
      orderBy: [{ issuedOn: 'desc' }, { id: 'desc' }],
      take: 200,
    })
    const standings = await readInvoiceStandings(
      tx,
      businessId,
      rows.map(({ id }) => id),
    )
    const owed = new Map(standings.map(({ id, outstandingMinor }) => [id, Math.max(0, outstandingMinor)]))
    return {
      locale,
      /** What they owe and what is in hand of theirs: the figures of our own books. */
      balances: await readBalance(tx, asked),
      invoices: rows.map((row) => ({
        id: row.id,
        number: row.number ?? '',
        documentType: row.documentType as 'invoice' | 'credit_note',
        issuedOn: row.issuedOn ? isoOf(row.issuedOn) : '',
        dueOn: row.dueOn ? isoOf(row.dueOn) : null,
        grossMinor: row.documentType === 'credit_note' ? -row.grossMinor : row.grossMinor,
        outstandingMinor: row.documentType === 'credit_note' ? 0 : (owed.get(row.id) ?? 0),
        currency: row.currency,
      })),
    }
  })
}

function clientOf(actor: Actor): string {
  if (!actor.clientId) throw new Error('the record is for people of a client')
  return actor.clientId
}

async function todayOf(tx: Transaction, businessId: string, now: Date): Promise<string> {
  const business = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } })
  return dayIn(business.timeZone, now)
}

type LastAndNext = {
  tankId: string
  lastOn: string | null
  lastOutcome: string | null
  nextOn: string | null
  windowStart: string
  windowEnd: string
}

function lastAndNextVisits(
  tx: Transaction,
  businessId: string,
  tankIds: string[],
  today: string,
): Promise<LastAndNext[]> {
  return tx.$queryRaw<LastAndNext[]>`
    SELECT asked.tank_id AS "tankId", last.local_date::text AS "lastOn", last.outcome AS "lastOutcome", next.local_date::text AS "nextOn",
      coalesce(next.window_start, '') AS "windowStart", coalesce(next.window_end, '') AS "windowEnd"
    FROM unnest(${tankIds}::uuid[]) asked (tank_id)
    LEFT JOIN LATERAL (
      SELECT local_date, outcome FROM visit WHERE business_id = ${businessId}::uuid AND tank_id = asked.tank_id AND state = 'done'
      ORDER BY local_date DESC, id DESC LIMIT 1) last ON true
    LEFT JOIN LATERAL (
      SELECT local_date, window_start, window_end FROM visit
      WHERE business_id = ${businessId}::uuid AND tank_id = asked.tank_id AND state = 'booked' AND local_date >= ${today}::date
      ORDER BY local_date, id LIMIT 1) next ON true`
}

const windowWords = ({ windowStart, windowEnd }: { windowStart: string; windowEnd: string }) =>
  windowStart && windowEnd ? `${windowStart}–${windowEnd}` : ''

async function nextVisits(tx: Transaction, businessId: string, tankId: string, today: string, take: number) {
  const rows = await tx.visit.findMany({
    where: { businessId, tankId, state: 'booked', localDate: { gte: new Date(today) } },
    select: {
      localDate: true,
      windowStart: true,
      windowEnd: true,
      whatFor: true,
      technician: { select: { name: true } },
    },
    orderBy: [{ localDate: 'asc' }, { id: 'asc' }],
    take,
  })
  return rows.map((row) => ({
    date: isoOf(row.localDate),
    window: windowWords(row),
    whatFor: row.whatFor,
    technician: row.technician?.name ?? null,
  }))
}
