import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { findMode } from '@/lib/trade/catalogue'
import { TANK_KINDS } from '@/lib/trade/catalogue/types'
import { profileOf } from '@/lib/trade/targets'
import { QUANTITIES, type Quantity } from '@/lib/trade/water-units'
import { asDay, asDbDate } from '../frame/days'

const VISITS_MAX = 12
const FINDINGS_MAX = 12
/** A year and a half of fortnights of all that is usually measured. */
const READINGS_MAX = 240
const PHOTOS_MAX = 12

export type VisitWords = {
  id: string
  on: string
  kind: string
  state: string
  outcome: string | null
  technicianName: string | null
  plannedStart: string | null
  plannedEnd: string | null
  whatFor: string
}
export type WaterSeries = {
  quantity: string
  name: string
  unit: string
  target?: { low: number; high: number }
  points: { date: string; value: number }[]
}
export type PastOfTank = {
  lastVisit: VisitWords | null
  nextVisit: VisitWords | null
  visits: VisitWords[]
  findings: {
    id: string
    on: string
    device: string
    mode: string
    asFound: string
    cause: string
    remedy: string
    visitId: string | null
  }[]
  water: WaterSeries[]
  photos: { id: string; caption: string; takenAt: string }[]
  followUps: { id: string; what: string; dueOn: string; personName: string | null }[]
}
type Of = { businessId: string; tankIds: string[]; today: string; profile: string }

/** What happened at a tank and what is promised, newest first; rows that were corrected give way to their corrections. */
export async function pastOfTank(tx: Transaction, of: Of): Promise<PastOfTank> {
  const { businessId, tankIds, today } = of
  const ofTank = { businessId, tankId: { in: tankIds } }
  const visits = await visitsOf(tx, { ...ofTank, state: { in: ['done', 'under_way'] } }, 'desc')
  const booked = await visitsOf(tx, { ...ofTank, state: 'booked', localDate: { gte: asDbDate(today) } }, 'asc')
  const findings = await tx.finding.findMany({
    where: { ...ofTank, correctedBy: null, asFound: { in: ['needs_it', 'failed'] } },
    include: { equipment: { select: { label: true } } },
    orderBy: [{ foundOn: 'desc' }, { id: 'desc' }],
    take: FINDINGS_MAX,
  })
  const photos = await tx.photo.findMany({
    where: { ...ofTank, hiddenAt: null },
    select: { id: true, caption: true, takenAt: true },
    orderBy: [{ takenAt: 'desc' }, { id: 'desc' }],
    take: PHOTOS_MAX,
  })
  const followUps = await tx.followUp.findMany({
    where: { ...ofTank, doneAt: null },
    include: { person: { select: { name: true } } },
    orderBy: [{ dueOn: 'asc' }, { id: 'asc' }],
  })
  return {
    lastVisit: visits.find((visit) => visit.state === 'done') ?? null,
    nextVisit: booked[0] ?? null,
    visits,
    findings: findings.map((finding) => ({
      id: finding.id,
      on: asDay(finding.foundOn),
      device: finding.equipment?.label ?? '',
      mode: findMode(finding.failureMode)?.name ?? finding.failureMode,
      asFound: finding.asFound,
      cause: finding.cause,
      remedy: finding.remedy,
      visitId: finding.visitId,
    })),
    water: await waterOf(tx, of),
    photos: photos.map((photo) => ({ ...photo, takenAt: photo.takenAt.toISOString() })),
    followUps: followUps.map((row) => ({
      id: row.id,
      what: row.what,
      dueOn: asDay(row.dueOn),
      personName: row.person?.name ?? null,
    })),
  }
}

type VisitsWhere = {
  businessId: string
  tankId: { in: string[] }
  state: string | { in: string[] }
  localDate?: { gte: Date }
}

async function visitsOf(tx: Transaction, where: VisitsWhere, order: 'asc' | 'desc'): Promise<VisitWords[]> {
  const visits = await tx.visit.findMany({
    where,
    include: { technician: { select: { name: true } } },
    orderBy: [{ localDate: order }, { plannedStart: order }, { id: order }],
    take: VISITS_MAX,
  })
  return visits.map((visit) => ({
    id: visit.id,
    on: asDay(visit.localDate),
    kind: visit.kind,
    state: visit.state,
    outcome: visit.outcome,
    technicianName: visit.technician?.name ?? null,
    plannedStart: visit.plannedStart?.toISOString() ?? null,
    plannedEnd: visit.plannedEnd?.toISOString() ?? null,
    whatFor: visit.whatFor,
  }))
}

/** The last readings as one series per quantity, in the catalogue's order; a quantity we do not know comes last. */
async function waterOf(tx: Transaction, { businessId, tankIds, profile }: Of): Promise<WaterSeries[]> {
  const readings = await tx.reading.findMany({
    where: { businessId, tankId: { in: tankIds }, equipmentId: null, correctedBy: null },
    select: { quantity: true, value: true, unit: true, takenOn: true },
    orderBy: [{ takenOn: 'desc' }, { takenAt: 'desc' }, { id: 'desc' }],
    take: READINGS_MAX,
  })
  const series = new Map<string, WaterSeries>()
  for (const reading of readings.reverse()) {
    const own = series.get(reading.quantity) ?? seriesOf(reading.quantity, reading.unit, profile)
    own.points.push({ date: asDay(reading.takenOn), value: reading.value.toNumber() })
    series.set(reading.quantity, own)
  }
  const order = Object.keys(QUANTITIES)
  const placeOf = (quantity: string) => (order.indexOf(quantity) + order.length + 1) % (order.length + 1)
  return [...series.values()].sort((a, b) => placeOf(a.quantity) - placeOf(b.quantity))
}

function seriesOf(quantity: string, unit: string, profile: string): WaterSeries {
  const known = isQuantity(quantity) ? QUANTITIES[quantity] : null
  const kind = TANK_KINDS.find((tankKind) => tankKind === profile)
  const target = kind && isQuantity(quantity) ? profileOf(kind).targets[quantity] : undefined
  const both = target?.low !== undefined && target.high !== undefined ? { low: target.low, high: target.high } : null
  return {
    quantity,
    name: known?.name ?? quantity,
    unit: known?.unit ?? unit,
    points: [],
    ...(both ? { target: both } : {}),
  }
}

function isQuantity(text: string): text is Quantity {
  return Object.hasOwn(QUANTITIES, text)
}
