import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { newestLevels } from '../refills/newest-levels'
import { projectVisit } from './projection'
import { inOrder, measureKey, NOTHING_BEFORE, type VisitBase, type VisitRecord } from './record'
import { KINDS_SAID, type VisitCommand, visitCommandSchema } from './schema'
import type { AsFoundWord, CureWord, DepthWord, ReasonWord } from './words'

/** What was said at a visit, out of the log of commands. */
export async function readSaid(tx: Transaction, businessId: string, visitId: string): Promise<VisitCommand[]> {
  const rows = await tx.command.findMany({
    where: { businessId, visitId, status: 'applied', kind: { in: [...KINDS_SAID] } },
    select: {
      ...{ id: true, kind: true, version: true, madeAt: true, clockOffsetMs: true, deviceId: true, deviceSeq: true },
      payload: true,
    },
  })
  return rows.map(({ payload, madeAt, ...envelope }) =>
    visitCommandSchema.parse({
      ...(payload as Prisma.JsonObject), // an object: what the command's schema read, without its envelope
      ...{ ...envelope, businessId, visitId, madeAt: madeAt.toISOString() },
    }),
  )
}

type Recorded = Prisma.VisitGetPayload<{ include: typeof RECORDED }>
type Columns = 'arrivedAt' | 'leftAt' | 'outcome' | 'minutes' | 'visitPrivate'
/** The rows that a visit's commands can change, all of each chain. */
export type VisitRows = Pick<
  Recorded,
  'findings' | 'renewals' | 'readings' | 'partUseds' | 'faultCases' | 'waterChanges'
>

/** What stands in the rows of a visit and was said by none of its commands: what an import left. */
export function baseOf(visit: Pick<Recorded, Columns> & VisitRows, said: readonly VisitCommand[]): VisitBase {
  const ids = new Set(said.map(({ id }) => id))
  const brought = <Row extends { id: string; commandId: string | null; correctsId: string | null }>(rows: Row[]) => {
    const own = rows.filter(({ commandId }) => commandId === null || !ids.has(commandId))
    const corrected = new Set(own.flatMap(({ correctsId }) => correctsId ?? []))
    return own.filter(({ id }) => !corrected.has(id))
  }
  const findings = brought(visit.findings)
  const wasSaid = (...kinds: VisitCommand['kind'][]) => said.some(({ kind }) => kinds.includes(kind))
  // The database holds these texts to their known values by its own checks.
  return {
    ...NOTHING_BEFORE,
    ...(wasSaid('visit.start', 'visit.arrive') ? {} : { arrivedAt: visit.arrivedAt?.toISOString() ?? null }),
    ...(wasSaid('visit.leave', 'visit.no-access')
      ? {}
      : {
          leftAt: visit.leftAt?.toISOString() ?? null,
          outcome: visit.outcome as VisitRecord['outcome'],
          minutes: visit.minutes,
          reason: visit.visitPrivate?.leftEarlyReason ?? '',
        }),
    findings: findings
      .filter((row) => row.learnedBy === 'look')
      .map(({ symptom, cause, remedy, asLeft, ...row }) => ({
        ...{ equipmentId: row.equipmentId ?? '', mode: row.failureMode, symptom, cause, remedy, asLeft },
        asFound: row.asFound as AsFoundWord,
        depth: row.depth as DepthWord,
        cureConfidence: row.cureConfidence as CureWord | null,
        ...{ fromTap: false, by: null },
      })),
    reports: findings
      .filter((row) => row.learnedBy === 'report')
      .map((row) => ({
        ...{ id: row.id, equipmentId: row.equipmentId ?? '', mode: row.failureMode, words: row.symptom },
        asFound: row.asFound as AsFoundWord,
        reportedOn: row.reportedOn?.toISOString().slice(0, 10) ?? null,
        sure: row.reportedSure ?? false,
      })),
    renewals: brought(visit.renewals).map((row) => ({
      ...{ id: row.id, equipmentId: row.equipmentId, mode: row.failureMode, task: row.careTask },
      ...{ reason: row.reason as ReasonWord, partial: row.isPartial, by: null },
    })),
    readings: brought(visit.readings)
      .filter(({ equipmentId }) => equipmentId === null)
      .map(({ id, quantity, enteredValue, enteredUnit }) => ({ id, quantity, enteredValue, enteredUnit, by: null })),
    parts: brought(visit.partUseds).map(({ id, priceItemId, partId, description, quantity, billable }) => ({
      ...{ id, priceItemId, partId, description, quantity: quantity.toNumber(), billable, by: null },
    })),
  }
}

/** All of a visit's record, in one read beside the visit. */
export const RECORDED = {
  ...{
    visitPrivate: true,
    findings: true,
    renewals: true,
    readings: true,
    partUseds: true,
    faultCases: true,
    waterChanges: true,
  },
  reservoirLevels: { where: { correctedBy: { is: null } }, orderBy: [{ madeAt: 'asc' }, { commandId: 'asc' }] },
} as const satisfies Prisma.VisitInclude

/**
 * The record of a visit that was read with all of it: what its commands say over what an import left. What is measured on devices and containers can
 * also be put right outside the visit, on their own pages: of these the rows count.
 */
export async function recordOf(tx: Transaction, businessId: string, visit: Recorded): Promise<VisitRecord> {
  const said = await readSaid(tx, businessId, visit.id)
  return inOrder({
    ...projectVisit(baseOf(visit, said), said),
    deviceReadings: newestOnDevices(visit.readings),
    levels: newestLevels(
      visit.reservoirLevels.map(({ reservoirId, levelBefore, levelAfter }) => ({
        reservoirId,
        levelBefore: levelBefore?.toNumber() ?? null,
        levelAfter: levelAfter?.toNumber() ?? null,
      })),
    ),
  })
}

type DeviceReadingRow = Prisma.ReadingGetPayload<object>

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
