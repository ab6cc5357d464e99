import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type LotShift, QUANTITIES } from '@/lib/trade'
import { type Actor, inBusiness } from '../actor'
import { asDay, dayIn } from '../clients/days'
import { dayOf, isoOfDay } from '../due/days'
import { readLotShifts, readLotUses } from './read-shifts'
import { lotKindWords } from './schema'

export type LotRow = {
  id: string
  label: string
  kindWords: string
  receivedOn: string | null
  usedUpOn: string | null
  tanks: number
  firstUsedOn: string | null
  lastUsedOn: string | null
  /** What its tanks share, in words; empty where nothing was found. */
  found: string[]
}

/** All lots, those in use first; with what was found about each. */
export function lotList(actor: Actor, now: Date): Promise<{ rows: LotRow[]; tested: number }> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const lots = await tx.lot.findMany({
      where: { businessId, archivedAt: null },
      orderBy: [{ usedUpOn: { sort: 'desc', nulls: 'first' } }, { createdAt: 'desc' }, { id: 'desc' }],
    })
    const used = await readLotUses(tx, businessId)
    const { shifts } = await readLotShifts(tx, businessId, await todayDayIn(tx, businessId, now))
    const rows = lots.map(({ id, label, kind, receivedOn, usedUpOn }): LotRow => {
      const days = (used.find(({ lot }) => lot === id)?.tanks ?? []).map(({ firstUsedDay }) => firstUsedDay)
      return {
        ...{ id, label, kindWords: lotKindWords(kind), tanks: days.length },
        receivedOn: asDay(receivedOn),
        usedUpOn: asDay(usedUpOn),
        firstUsedOn: days.length > 0 ? isoOfDay(Math.min(...days)) : null,
        lastUsedOn: days.length > 0 ? isoOfDay(Math.max(...days)) : null,
        found: shifts.filter(({ lot, found }) => found && lot === id).map(({ words }) => words),
      }
    })
    return { rows, tested: shifts.length }
  })
}

async function todayDayIn(tx: Transaction, businessId: string, now: Date): Promise<number> {
  const { timeZone } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } })
  return dayOf(new Date(dayIn(timeZone, now)))
}

export type LotPage = {
  lot: {
    id: string
    label: string
    kindWords: string
    receivedOn: string | null
    usedUpOn: string | null
    note: string
  }
  today: string
  /** Everything tested about this lot, what was found first; each with the tanks' own changes. */
  shifts: (LotShift & {
    unit: string
    rows: { tankId: string; tankName: string; change: number; onLot: boolean }[]
    otherLots: string[]
  })[]
  uses: { id: string; tankId: string; tankName: string; clientName: string; usedOn: string; visitId: string | null }[]
  /** Tanks of the register for the tick list, with whether the lot is there already. */
  tanks: { id: string; name: string; clientName: string; isOnLot: boolean }[]
}

/** One lot: its tanks, what they share, and where it may be ticked. Null where there is no such lot. */
export function lotPage(actor: Actor, lotId: string, now: Date): Promise<LotPage | null> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const lot = await tx.lot.findUnique({ where: { businessId_id: { businessId, id: lotId } } })
    if (!lot) return null
    const todayDay = await todayDayIn(tx, businessId, now)
    const uses = await tx.lotUse.findMany({
      where: { businessId, lotId, isTakenBack: false, correctedBy: { is: null } },
      include: { tank: { select: { name: true, mergedIntoId: true, client: { select: { name: true } } } } },
      orderBy: [{ usedOn: 'desc' }, { id: 'desc' }],
    })
    const tanks = await tx.tank.findMany({
      where: { businessId, archivedAt: null, mergedIntoId: null },
      select: { id: true, name: true, client: { select: { name: true } } },
      orderBy: [{ client: { name: 'asc' } }, { name: 'asc' }, { id: 'asc' }],
    })
    const { lots, shifts } = await readLotShifts(tx, businessId, todayDay)
    const ids = [...new Set(shifts.flatMap(({ changes }) => changes.map(({ tank }) => tank)))]
    const names = await tx.tank.findMany({ where: { businessId, id: { in: ids } }, select: { id: true, name: true } })
    const nameOf = new Map(names.map(({ id, name }) => [id, name]))
    const labelOf = new Map(lots.map(({ lot: id, label }) => [id, label]))
    const onLot = new Set(uses.map(({ tankId, tank }) => tank.mergedIntoId ?? tankId))
    const { id, label, kind, note } = lot
    return {
      lot: {
        ...{ id, label, note, kindWords: lotKindWords(kind) },
        receivedOn: asDay(lot.receivedOn),
        usedUpOn: asDay(lot.usedUpOn),
      },
      today: isoOfDay(todayDay),
      shifts: shifts
        .filter((shift) => shift.lot === lotId)
        .map((shift) => ({
          ...shift,
          unit: QUANTITIES[shift.quantity].unit,
          rows: shift.changes.map(({ tank, ...change }) => ({
            ...change,
            tankId: tank,
            tankName: nameOf.get(tank) ?? '',
          })),
          otherLots: shift.notToldApartFrom.map((other) => labelOf.get(other) ?? ''),
        })),
      uses: uses.map(({ id: useId, tankId, tank, usedOn, visitId }) => ({
        ...{ id: useId, tankId, visitId, tankName: tank.name, clientName: tank.client.name },
        usedOn: asDay(usedOn),
      })),
      tanks: tanks.map(({ id: tankId, name, client }) => ({
        ...{ id: tankId, name, clientName: client.name },
        isOnLot: onLot.has(tankId),
      })),
    }
  })
}

export type LotAtVisit = { id: string; label: string; kindWords: string; usedHere: boolean; lastHere: boolean }

/**
 * Lots a technician may tick at a visit: those not used up. `usedHere`: ticked at this visit. `lastHere`: the newest of its kind at this tank,
 * and so the likely one.
 */
export async function lotsForVisitIn(
  tx: Transaction,
  businessId: string,
  { tankId, visitId }: { tankId: string; visitId: string },
): Promise<LotAtVisit[]> {
  const lots = await tx.lot.findMany({
    where: { businessId, archivedAt: null, usedUpOn: null },
    orderBy: [{ kind: 'asc' }, { createdAt: 'desc' }, { id: 'desc' }],
  })
  const uses = await tx.lotUse.findMany({
    where: {
      ...{ businessId, isTakenBack: false, correctedBy: { is: null } },
      tank: { OR: [{ id: tankId }, { mergedIntoId: tankId }] },
    },
    select: { lotId: true, visitId: true, lot: { select: { kind: true } } },
    orderBy: [{ usedOn: 'desc' }, { id: 'desc' }],
  })
  const newest = new Map<string, string>()
  for (const { lotId, lot } of uses) if (!newest.has(lot.kind)) newest.set(lot.kind, lotId)
  const here = new Set(uses.filter((use) => use.visitId === visitId).map(({ lotId }) => lotId))
  return lots.map(({ id, label, kind }) => ({
    ...{ id, label, kindWords: lotKindWords(kind) },
    usedHere: here.has(id),
    lastHere: newest.get(kind) === id,
  }))
}

/** The same as one query of its own, for the visit page. */
export function lotsForVisit(actor: Actor, visitId: string): Promise<LotAtVisit[]> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const visit = await tx.visit.findUnique({
      where: { businessId_id: { businessId, id: visitId } },
      select: { tankId: true },
    })
    return visit ? lotsForVisitIn(tx, businessId, { tankId: visit.tankId, visitId }) : []
  })
}

export type SharedShift = { lotId: string; label: string; kindWords: string; words: string }

/** Shifts found in lots that are still in use, for Today. */
export async function sharedShifts(tx: Transaction, businessId: string, today: string): Promise<SharedShift[]> {
  const inUse = await tx.lot.findMany({
    where: { businessId, archivedAt: null, usedUpOn: null },
    select: { id: true, label: true },
  })
  if (inUse.length === 0) return []
  const labels = new Map(inUse.map(({ id, label }) => [id, label]))
  const { shifts } = await readLotShifts(tx, businessId, dayOf(new Date(today)))
  return shifts
    .filter(({ found, lot }) => found && labels.has(lot))
    .map(({ lot, kind, words }) => ({
      ...{ lotId: lot, label: labels.get(lot) ?? '', kindWords: lotKindWords(kind), words },
    }))
}
