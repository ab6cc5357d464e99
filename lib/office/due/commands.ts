import 'server-only'
import { inReading, type SqlReader } from '@/lib/platform/db/reading'
import { inScope, type Transaction } from '@/lib/platform/db/scope'
import { computeDerived, type ModelVersion } from './compute-derived'
import { dateOfDay } from './days'
import type { LaneSummary } from './derive'
import { type LaneLesson, lessonOf } from './life-lessons'
import { fitPooled, type PooledFit, sourceOf } from './life-models'
import { pairKey } from './pair-key'
import { rerank, rerankTouched } from './rank-faults'
import { readLanes, readModels, readSettings, streamLanes } from './read-history'
import { storeDueItems, storeLanes } from './store-derived'

/** For whom derived figures are made. The worker has no person of its own: any uuid will do. */
export type DerivedFor = { businessId: string; personId: string }

/** Shorter than the job that asks for it may take; 10,000 tanks take some minutes. */
const LONGEST_MS = 50 * 60_000
const NO_MODELS = { version: 0, cutoffDay: 0, fits: new Map<string, PooledFit>() }

/**
 * Fits every class × mode anew from all lives up to `today` (days since 1970-01-01), keeps the fits as a new version, and
 * makes lanes, due items and repeat faults again from it. Nightly, and after an import. One transaction, which writes, beside one
 * that reads: both see the business as it stands once no visit is being written.
 */
export async function refitLifeModels(who: DerivedFor, todayDay: number): Promise<{ version: number }> {
  const { businessId } = who
  return inScope(
    { role: 'office', ...who },
    async (tx) => {
      await lockAll(tx, businessId)
      return inReading({ role: 'office', ...who }, (read) => refit(tx, read, businessId, todayDay))
    },
    { timeoutMs: LONGEST_MS },
  )
}

async function refit(
  tx: Transaction,
  read: SqlReader,
  businessId: string,
  todayDay: number,
): Promise<{ version: number }> {
  const lessons = new Map<string, { equipmentClass: string; failureMode: string; of: LaneLesson[] }>()
  for await (const lanes of streamLanes(read, businessId, todayDay)) {
    for (const lane of lanes) {
      // An age limit makes lanes that nobody has looked at: they teach nothing.
      if (lane.events.every((event) => event.kind === 'installed')) continue
      const { equipmentClass, failureMode } = lane
      const known = lessons.get(pairKey(lane))
      if (known) known.of.push(lessonOf(lane))
      else lessons.set(pairKey(lane), { equipmentClass, failureMode, of: [lessonOf(lane)] })
    }
  }
  const earlier = await readModels(tx, businessId)
  const version = (earlier?.version ?? 0) + 1
  const fits = [...lessons.values()].map(({ of, ...pair }) => fitPooled(pair, of))
  // Where every record of a pair was taken back nothing is known any more: without a row its former fit would stand.
  for (const { equipmentClass, failureMode } of earlier?.fits.values() ?? [])
    if (!lessons.has(pairKey({ equipmentClass, failureMode })))
      fits.push(fitPooled({ equipmentClass, failureMode }, []))
  await tx.lifeModel.createMany({
    data: fits
      .sort((a, b) => (pairKey(a) < pairKey(b) ? -1 : 1))
      .map(({ knowledge, ...fit }) => ({
        businessId,
        id: crypto.randomUUID(),
        version,
        ...fit,
        cutoffOn: dateOfDay(todayDay),
        source: sourceOf(knowledge),
        parameters: knowledge ?? {},
      })),
  })
  lessons.clear()
  await rebuild(tx, read, businessId, version)
  return { version }
}

/**
 * Drops lane, due_item and repeat_fault and makes them again from what happened, at the newest (or the given) model version:
 * the same bytes as before. One transaction.
 */
export async function rebuildDerived(who: DerivedFor, version?: number): Promise<void> {
  await inScope(
    { role: 'office', ...who },
    async (tx) => {
      await lockAll(tx, who.businessId)
      await inReading({ role: 'office', ...who }, (read) => rebuild(tx, read, who.businessId, version))
    },
    { timeoutMs: LONGEST_MS },
  )
}

/**
 * Makes the lanes of these devices again, in the transaction that changed them (a visit, a swap, a correction), with what
 * hangs on them: their due items, and the rank of each class × mode touched (in a large business soon after, as a job).
 */
export async function touchLanes(tx: Transaction, businessId: string, equipmentIds: readonly string[]): Promise<void> {
  if (equipmentIds.length === 0) return
  await tx.$queryRaw`SELECT 1 AS locked FROM pg_advisory_xact_lock_shared(hashtextextended(${`derived ${businessId}`}, 0))`
  const ids = await withSiblings(tx, businessId, equipmentIds)
  const models = (await readModels(tx, businessId)) ?? NO_MODELS
  const before = await tx.lane.findMany({
    where: { businessId, equipmentId: { in: ids } },
    select: { equipmentClass: true, failureMode: true },
  })
  await tx.lane.deleteMany({ where: { businessId, equipmentId: { in: ids } } })
  await tx.dueItem.deleteMany({ where: { businessId, equipmentId: { in: ids } } })
  const lanes = await readLanes(tx, businessId, { equipmentIds: ids }, models.cutoffDay)
  await storeTogether(tx, businessId, lanes, models)
  await rerankTouched(tx, businessId, [...before, ...lanes], models.version)
}

/**
 * These devices and those of the same class in the same tank, locked: what one of them teaches about the tank holds for all. In the
 * order of ids, so that two visits at once never wait for each other.
 */
async function withSiblings(tx: Transaction, businessId: string, equipmentIds: readonly string[]): Promise<string[]> {
  const rows = await tx.$queryRaw<{ id: string }[]>`
    WITH own AS (
      SELECT DISTINCT coalesce(tank.merged_into_id, tank.id) AS home_id, equipment.equipment_class FROM equipment
      JOIN tank ON tank.business_id = equipment.business_id AND tank.id = equipment.tank_id
      WHERE equipment.business_id = ${businessId}::uuid AND equipment.id = ANY (${[...equipmentIds]}::uuid[])),
    home AS (
      SELECT own.home_id AS tank_id, equipment_class FROM own
      UNION ALL
      SELECT tank.id, equipment_class FROM own JOIN tank ON tank.business_id = ${businessId}::uuid AND tank.merged_into_id = own.home_id)
    SELECT sibling.id FROM home JOIN equipment sibling ON sibling.business_id = ${businessId}::uuid
      AND sibling.tank_id = home.tank_id AND sibling.equipment_class = home.equipment_class
    ORDER BY sibling.id FOR UPDATE OF sibling`
  return rows.map(({ id }) => id)
}

/** After a change of cadence or costs: the lanes of these tanks and of those merged into them. */
export async function touchTanks(tx: Transaction, businessId: string, tankIds: readonly string[]): Promise<void> {
  const rows = await tx.equipment.findMany({
    where: { businessId, tank: { OR: [{ id: { in: [...tankIds] } }, { mergedIntoId: { in: [...tankIds] } }] } },
    select: { id: true },
  })
  await touchLanes(
    tx,
    businessId,
    rows.map((row) => row.id),
  )
}

async function lockAll(tx: Transaction, businessId: string): Promise<void> {
  await tx.$queryRaw`SELECT 1 AS locked FROM pg_advisory_xact_lock(hashtextextended(${`derived ${businessId}`}, 0))`
}

async function rebuild(tx: Transaction, read: SqlReader, businessId: string, version?: number): Promise<void> {
  const models = (await readModels(tx, businessId, version)) ?? NO_MODELS
  await tx.repeatFault.deleteMany({ where: { businessId } })
  await tx.dueItem.deleteMany({ where: { businessId } })
  await tx.lane.deleteMany({ where: { businessId } })
  const pairs = new Map<string, { equipmentClass: string; failureMode: string }>()
  for await (const lanes of streamLanes(read, businessId, models.cutoffDay)) {
    await storeTogether(tx, businessId, lanes, models)
    for (const { equipmentClass, failureMode } of lanes) {
      pairs.set(pairKey({ equipmentClass, failureMode }), { equipmentClass, failureMode })
    }
  }
  for (const key of [...pairs.keys()].sort()) {
    const pair = pairs.get(key)
    if (pair) await rerank(tx, businessId, pair, models.version)
  }
}

async function storeTogether(
  tx: Transaction,
  businessId: string,
  lanes: readonly LaneSummary[],
  models: ModelVersion,
): Promise<void> {
  const tankIds = [...new Set(lanes.map((lane) => lane.tankId))].sort()
  const settings = await readSettings(tx, businessId, tankIds)
  const derived = computeDerived(lanes, models, settings)
  await storeLanes(tx, businessId, derived.lanes)
  await storeDueItems(tx, businessId, derived.due, { model: models.version, cost: settings.costs.version })
}
