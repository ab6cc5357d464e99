import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { asDay } from '../clients/days'
import { inOrder, measureKey, newestLevels, type VisitRecord } from './record'
import { currentNotes, switchState } from './states'
import { readEvents } from './visit-events'
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
  const visit = await tx.visit.findFirst({ where: { businessId, id: visitId }, include: { visitPrivate: true } })
  if (!visit) return null
  const where = { businessId, visitId }
  const events = await readEvents(tx, businessId, visitId)
  const findings = await tx.finding.findMany({ where: { ...where, correctedBy: { is: null } } })
  const renewals = await tx.renewal.findMany({ where })
  const readings = await tx.reading.findMany({ where })
  const levels = await tx.reservoirLevel.findMany({
    where: { ...where, correctedBy: { is: null } },
    orderBy: [{ madeAt: 'asc' }, { commandId: 'asc' }],
  })
  // What was said at the visit; what the office took back later shows on the lot's own page.
  const lots = await tx.lotUse.findMany({ where: { ...where, correctsId: null }, select: { lotId: true } })
  const parts = await tx.partUsed.findMany({ where })
  const promises = await tx.followUp.findMany({ where })
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
  const taps = await tx.command.findMany({
    where: { businessId, id: { in: [...new Set(commandIds)] }, kind: 'visit.all-running' },
    select: { id: true },
  })
  return new Set(taps.map(({ id }) => id))
}
