import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import type { DerivedSettings } from './compute-derived'
import { dayOf } from './days'
import { type LaneSummary, summariseLane } from './derive'
import type { CostRow } from './due-items'
import { USUAL_VISIT_EVERY_DAYS } from './due-items'
import { lanesOfDevices } from './lane-events'
import { readDevices, readLaneRows } from './lane-rows'
import type { PooledFit } from './life-models'
import { moneyInWords } from './money-in-words'
import { pairKey } from './pair-key'

/** Tanks read at a time: bounds memory however large the business is. */
const TANKS_AT_A_TIME = 250

/** All tanks of the business in a fixed order, archived ones too: their history counts for the pooled fit. */
export async function tankChunks(tx: Transaction, businessId: string): Promise<string[][]> {
  const rows = await tx.tank.findMany({ where: { businessId }, select: { id: true }, orderBy: { id: 'asc' } })
  const ids = rows.map((row) => row.id)
  const chunks: string[][] = []
  for (let start = 0; start < ids.length; start += TANKS_AT_A_TIME)
    chunks.push(ids.slice(start, start + TANKS_AT_A_TIME))
  return chunks
}

/** Lanes of some tanks or devices, their lives read. */
export async function readLanes(
  tx: Transaction,
  businessId: string,
  only: { tankIds: string[] } | { equipmentIds: string[] },
  modelCutoffDay: number,
): Promise<LaneSummary[]> {
  const devices = await readDevices(tx, businessId, only)
  const rows = await readLaneRows(
    tx,
    businessId,
    devices.map((device) => device.id),
  )
  return lanesOfDevices(devices, rows).map((lane) => summariseLane(lane, modelCutoffDay))
}

/** The newest version of the pooled fits, or null before the first. */
export async function readModels(
  tx: Transaction,
  businessId: string,
  version?: number,
): Promise<{ version: number; cutoffDay: number; fits: Map<string, PooledFit> } | null> {
  const newest =
    version ??
    (await tx.lifeModel.findFirst({ where: { businessId }, orderBy: { version: 'desc' }, select: { version: true } }))
      ?.version
  if (newest === undefined) return null
  const rows = await tx.lifeModel.findMany({ where: { businessId, version: newest } })
  const first = rows[0]
  if (!first) return null
  return {
    version: newest,
    cutoffDay: dayOf(first.cutoffOn),
    fits: new Map(
      rows.map((row) => [
        pairKey(row),
        { ...row, logLikelihood: row.logLikelihood, notEstimable: row.notEstimable as PooledFit['notEstimable'] },
      ]),
    ),
  }
}

/** How often we come to each tank by its agreement, days. */
export async function readCadences(
  tx: Transaction,
  businessId: string,
  tankIds: string[],
): Promise<(tankId: string) => number> {
  const rows = await tx.agreement.findMany({
    where: { businessId, tankId: { in: tankIds } },
    select: { tankId: true, everyDays: true },
    // The newest agreement counts; an open-ended one before one that ended.
    orderBy: [{ endsOn: { sort: 'asc', nulls: 'last' } }, { startsOn: 'asc' }, { id: 'asc' }],
  })
  const byTank = new Map(rows.map((row) => [row.tankId, row.everyDays]))
  return (tankId) => byTank.get(tankId) ?? USUAL_VISIT_EVERY_DAYS
}

/** The newest version of the business's own costs; version 0 where it has stated none. */
export async function readCosts(tx: Transaction, businessId: string): Promise<{ version: number; rows: CostRow[] }> {
  const newest = await tx.costSetting.findFirst({
    where: { businessId },
    orderBy: { version: 'desc' },
    select: { version: true },
  })
  if (!newest) return { version: 0, rows: [] }
  const rows = await tx.costSetting.findMany({ where: { businessId, version: newest.version } })
  return { version: newest.version, rows: rows.map((row) => ({ ...row, shareReported: row.shareReported.toNumber() })) }
}

/** All that the business has set for these tanks and that due dates depend on. */
export async function readSettings(tx: Transaction, businessId: string, tankIds: string[]): Promise<DerivedSettings> {
  return {
    costs: await readCosts(tx, businessId),
    visitEveryDays: await readCadences(tx, businessId, tankIds),
    formatMoney: await moneyInWords(tx, businessId),
  }
}
