import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { asDay } from '../frame/days'
import { newestLevels } from '../refills/newest-levels'
import { inOrder, measureKey, type VisitRecord } from './record'
import { currentNotes, switchState } from './states'
import { eventsOf } from './visit-events'
import type { AsFoundWord, CureWord, DepthWord, ReasonWord } from './words'

/**
 * The record of a visit from the rows of the database: the same as `projectVisit` gives from its commands. Rows that a later
 * one corrects are left out; what a correction changed keeps the id of the row it began with.
 */
export async function recordFromRows(
  tx: Transaction,
  businessId: string,
  visitId: string,
): Promise<VisitRecord | null> {
  const visit = await tx.visit.findFirst({ where: { businessId, id: visitId }, include: RECORDED })
  return visit && recordOf(tx, businessId, visit)
}

/** Everything that was said at a visit, in one read. */
export const RECORDED = {
  visitPrivate: true,
  visitEvents: { orderBy: [{ at: 'asc' }, { id: 'asc' }] },
  findings: { where: { correctedBy: { is: null } } },
  renewals: true,
  readings: true,
  reservoirLevels: { where: { correctedBy: { is: null } }, orderBy: [{ madeAt: 'asc' }, { commandId: 'asc' }] },
  // What was said at the visit; what the office took back later shows on the lot's own page.
  lotUses: { where: { correctsId: null }, select: { lotId: true } },
  partUseds: true,
  followUps: true,
} as const satisfies Prisma.VisitInclude

/** The record of a visit that was read with all of it. */
export async function recordOf(
  tx: Transaction,
  businessId: string,
  visit: Prisma.VisitGetPayload<{ include: typeof RECORDED }>,
): Promise<VisitRecord> {
  const {
    findings,
    renewals,
    readings,
    reservoirLevels: levels,
    lotUses: lots,
    partUseds: parts,
    followUps: promises,
  } = visit
  const events = eventsOf(visit.visitEvents)
  const tapped = await tapsAmong(
    tx,
    businessId,
    findings.flatMap(({ commandId }) => commandId ?? []),
  )
  const suspicionIds = new Set(events.suspicions.map(({ id }) => id))
  const workById = new Map(events.work.map((work) => [work.id, work]))
  // The database holds these texts to their known values by its own checks.
  return inOrder({
    arrivedAt: visit.arrivedAt?.toISOString() ?? null,
    leftAt: visit.leftAt?.toISOString() ?? null,
    outcome: visit.outcome as VisitRecord['outcome'],
    minutes: visit.minutes,
    reason: visit.visitPrivate?.leftEarlyReason ?? '',
    suspicions: events.suspicions,
    findings: findings
      .filter((row) => row.learnedBy === 'look' && !suspicionIds.has(row.commandId ?? ''))
      .map(({ symptom, cause, remedy, asLeft, ...row }) => ({
        ...{ equipmentId: row.equipmentId ?? '', mode: row.failureMode, symptom, cause, remedy, asLeft },
        asFound: row.asFound as AsFoundWord,
        depth: row.depth as DepthWord,
        cureConfidence: row.cureConfidence as CureWord | null,
        fromTap: tapped.has(row.commandId ?? ''),
      })),
    reports: findings
      .filter((row) => row.learnedBy === 'report')
      .map((row) => ({
        ...{ id: row.id, equipmentId: row.equipmentId ?? '', mode: row.failureMode, words: row.symptom },
        asFound: row.asFound as AsFoundWord,
        reportedOn: asDay(row.reportedOn),
        sure: row.reportedSure ?? false,
      })),
    work: [...workById.values()],
    renewals: endsOfChains(renewals).map(({ rootId, row }) => ({
      ...{ id: rootId, equipmentId: row.equipmentId, mode: row.failureMode, task: row.careTask },
      reason: row.reason as ReasonWord,
      partial: row.isPartial,
    })),
    deviceReadings: newestOnDevices(readings),
    lots: [...new Set(lots.map(({ lotId }) => lotId))],
    levels: newestLevels(
      levels.map(({ reservoirId, levelBefore, levelAfter }) => ({
        reservoirId,
        levelBefore: levelBefore?.toNumber() ?? null,
        levelAfter: levelAfter?.toNumber() ?? null,
      })),
    ),
    readings: endsOfChains(readings.filter(({ equipmentId }) => equipmentId === null)).map(
      ({ rootId, row: { quantity, enteredValue, enteredUnit } }) => ({
        ...{ id: rootId, quantity, enteredValue, enteredUnit },
      }),
    ),
    parts: endsOfChains(parts).map(({ rootId, row: { priceItemId, partId, description, quantity, billable } }) => ({
      ...{ id: rootId, priceItemId, partId, description, quantity: quantity.toNumber(), billable },
    })),
    ...switchState(events.switching),
    leavingCheckDone: [...new Set(events.ends.at(-1)?.leavingCheckDone ?? [])],
    ...currentNotes(events.notes),
    promises: promises.map((row) => ({ id: row.id, what: row.what, dueOn: asDay(row.dueOn) })),
    photos: events.photos.map(({ id, caption, forClient }) => ({ id, caption, forClient })),
  })
}

/** Of each chain of corrections its last row, with the id of its first. */
function endsOfChains<Row extends { id: string; correctsId: string | null }>(
  rows: readonly Row[],
): { rootId: string; row: Row }[] {
  const byId = new Map(rows.map((row) => [row.id, row]))
  const corrected = new Set(rows.flatMap(({ correctsId }) => correctsId ?? []))
  return rows
    .filter(({ id }) => !corrected.has(id))
    .map((row) => {
      let root = row
      for (let before = root.correctsId; before !== null; before = root.correctsId) {
        const next = byId.get(before)
        if (!next) break
        root = next
      }
      return { rootId: root.id, row }
    })
}

type DeviceReadingRow = {
  equipmentId: string | null
  quantity: string
  enteredValue: string
  enteredUnit: string
  takenAt: Date
  commandId: string | null
}

/** Of each device and quantity what was measured last. */
function newestOnDevices(rows: readonly DeviceReadingRow[]): VisitRecord['deviceReadings'] {
  const inTurn = rows.toSorted(
    (a, b) => a.takenAt.getTime() - b.takenAt.getTime() || ((a.commandId ?? '') < (b.commandId ?? '') ? -1 : 1),
  )
  const newest = inTurn.flatMap(({ equipmentId, quantity, enteredValue, enteredUnit }) =>
    equipmentId === null
      ? []
      : [[measureKey({ equipmentId, quantity }), { equipmentId, quantity, enteredValue, enteredUnit }] as const],
  )
  return [...new Map(newest).values()]
}

/** Those of these commands that are a tap on "all else seen running". */
async function tapsAmong(tx: Transaction, businessId: string, commandIds: string[]): Promise<Set<string>> {
  if (commandIds.length === 0) return new Set()
  const taps = await tx.command.findMany({
    where: { businessId, id: { in: [...new Set(commandIds)] }, kind: 'visit.all-running' },
    select: { id: true },
  })
  return new Set(taps.map(({ id }) => id))
}
