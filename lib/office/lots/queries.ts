import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type LotShift, QUANTITIES } from '@/lib/trade'
import { narrowed } from '../clients/choices'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay, dayIn } from '../frame/days'
import { answerTo, type StoredAnswers } from '../frame/stored-answer'
import { dayOf, isoOfDay } from '../lanes/day-numbers'
import { LOT_FINDINGS } from './read-shifts'
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
export function lotList(actor: Actor, now: Date): Promise<{ rows: LotRow[]; tested: number; isAwaited: boolean }> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const lots = await tx.lot.findMany({
      where: { businessId, archivedAt: null },
      orderBy: [{ usedUpOn: { sort: 'desc', nulls: 'first' } }, { createdAt: 'desc' }, { id: 'desc' }],
    })
    const usedOf = new Map((await countLotUses(tx, businessId)).map((used) => [used.lot, used]))
    const findings = await answerTo(tx, businessId, LOT_FINDINGS, now)
    const shifts = findings?.answer.shifts ?? []
    const rows = lots.map(({ id, label, kind, receivedOn, usedUpOn }): LotRow => {
      const used = usedOf.get(id)
      return {
        ...{ id, label, kindWords: lotKindWords(kind), tanks: used?.tanks ?? 0 },
        receivedOn: asDay(receivedOn),
        usedUpOn: asDay(usedUpOn),
        firstUsedOn: used?.firstOn ?? null,
        lastUsedOn: used?.lastOn ?? null,
        found: shifts.filter(({ lot, found }) => found && lot === id).map(({ words }) => words),
      }
    })
    return { rows, tested: shifts.length, isAwaited: findings === null }
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
  /** What is tested is not worked out yet. */
  isAwaited: boolean
  /** Everything tested about this lot, what was found first; each with the tanks' own changes. */
  shifts: (LotShift & {
    unit: string
    rows: { tankId: string; tankName: string; change: number; onLot: boolean }[]
    otherLots: string[]
  })[]
  uses: { id: string; tankId: string; tankName: string; clientName: string; usedOn: string; visitId: string | null }[]
  /** Tanks of the register for the tick list, with whether the lot is there already. */
  tanks: { id: string; name: string; clientName: string; isOnLot: boolean }[]
  /** More tanks than are listed: words choose. */
  moreTanks: number
  tanksOnIt: number
  usePages: { page: number; perPage: number; total: number }
}

const USES_PER_PAGE = 40

/** One lot: its tanks, what they share, and where it may be ticked. Null where there is no such lot. */
export function lotPage(
  actor: Actor,
  lotId: string,
  now: Date,
  { search = '', page = 1 }: { search?: string; page?: number } = {},
): Promise<LotPage | null> {
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
    const findings = await answerTo(tx, businessId, LOT_FINDINGS, now)
    const { lots, shifts } = findings?.answer ?? { lots: [], shifts: [] }
    const ofLot = shifts.filter((shift) => shift.lot === lotId)
    const ids = [...new Set(ofLot.flatMap(({ changes }) => changes.map(({ tank }) => tank)))]
    const names = await tx.tank.findMany({ where: { businessId, id: { in: ids } }, select: { id: true, name: true } })
    const nameOf = new Map(names.map(({ id, name }) => [id, name]))
    const labelOf = new Map(lots.map(({ lot: id, label }) => [id, label]))
    const tankOf = new Map(tanks.map((tank) => [tank.id, tank]))
    const offered = narrowed(
      tanks.map(({ id, name, client }) => ({ value: id, label: `${client.name}: ${name}` })),
      search,
    )
    const onLot = new Set(uses.map(({ tankId, tank }) => tank.mergedIntoId ?? tankId))
    const { id, label, kind, note } = lot
    return {
      lot: {
        ...{ id, label, note, kindWords: lotKindWords(kind) },
        receivedOn: asDay(lot.receivedOn),
        usedUpOn: asDay(lot.usedUpOn),
      },
      today: isoOfDay(todayDay),
      isAwaited: findings === null,
      shifts: ofLot.map((shift) => ({
        ...shift,
        unit: QUANTITIES[shift.quantity].unit,
        rows: shift.changes.map(({ tank, ...change }) => ({
          ...change,
          tankId: tank,
          tankName: nameOf.get(tank) ?? '',
        })),
        otherLots: shift.notToldApartFrom.map((other) => labelOf.get(other) ?? ''),
      })),
      tanksOnIt: onLot.size,
      usePages: { page, perPage: USES_PER_PAGE, total: uses.length },
      uses: uses
        .slice((page - 1) * USES_PER_PAGE, page * USES_PER_PAGE)
        .map(({ id: useId, tankId, tank, usedOn, visitId }) => ({
          ...{ id: useId, tankId, visitId, tankName: tank.name, clientName: tank.client.name },
          usedOn: asDay(usedOn),
        })),
      tanks: offered.choices.flatMap(({ value }) => {
        const tank = tankOf.get(value)
        return tank ? [{ id: value, name: tank.name, clientName: tank.client.name, isOnLot: onLot.has(value) }] : []
      }),
      moreTanks: offered.more,
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

export type SharedShift = { lotId: string; label: string; kindWords: string; words: string }

/** Shifts found in lots that are still in use, for Today; null: not worked out yet. */
export async function sharedShifts(
  tx: Transaction,
  businessId: string,
  now: Date,
  stored?: StoredAnswers,
): Promise<SharedShift[] | null> {
  const inUse = await tx.lot.findMany({
    where: { businessId, archivedAt: null, usedUpOn: null },
    select: { id: true, label: true },
  })
  if (inUse.length === 0) return []
  const labels = new Map(inUse.map(({ id, label }) => [id, label]))
  const findings = await answerTo(tx, businessId, LOT_FINDINGS, now, { ...(stored && { stored }) })
  if (findings === null) return null
  return findings.answer.shifts
    .filter(({ found, lot }) => found && labels.has(lot))
    .map(({ lot, kind, words }) => ({
      ...{ lotId: lot, label: labels.get(lot) ?? '', kindWords: lotKindWords(kind), words },
    }))
}

/** At how many tanks each lot was used, and between which days it was begun there. */
function countLotUses(tx: Transaction, businessId: string) {
  return tx.$queryRaw<{ lot: string; tanks: number; firstOn: string; lastOn: string }[]>`
    SELECT lot, count(*)::int AS tanks, min(first_on)::text AS "firstOn", max(first_on)::text AS "lastOn" FROM (
      SELECT lot_use.lot_id AS lot, coalesce(tank.merged_into_id, tank.id) AS tank, min(lot_use.used_on) AS first_on
      FROM lot_use JOIN tank ON tank.business_id = lot_use.business_id AND tank.id = lot_use.tank_id
      WHERE lot_use.business_id = ${businessId}::uuid AND NOT lot_use.is_taken_back
        AND NOT EXISTS (SELECT 1 FROM lot_use newer WHERE newer.business_id = lot_use.business_id AND newer.corrects_id = lot_use.id)
      GROUP BY 1, 2
    ) used GROUP BY lot`
}
