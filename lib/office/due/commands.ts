import 'server-only'
import { inScope, type Transaction } from '@/lib/platform/db/scope'
import { computeDerived, type ModelVersion } from './compute-derived'
import { dateOfDay } from './days'
import type { LaneSummary } from './derive'
import { countsByTank, rankWithIntervals } from './faults'
import { fitPooled, modelInUse, type PooledFit } from './life-models'
import { pairKey } from './pair-key'
import { readLanes, readModels, readSettings, tankChunks } from './read-history'
import { storeDueItems, storeFaults, storeLanes } from './store-derived'

/** For whom derived figures are made. The worker has no person of its own: any uuid will do. */
export type DerivedFor = { businessId: string; personId: string }

const TEN_MINUTES_MS = 600_000
const NO_MODELS = { version: 0, cutoffDay: 0, fits: new Map<string, PooledFit>() }

/**
 * Fits every class × mode anew from all lives up to `today` (days since 1970-01-01), keeps the fits as a new version, and
 * makes lanes, due items and repeat faults again from it. Nightly, and after an import. One transaction.
 */
export async function refitLifeModels(who: DerivedFor, todayDay: number): Promise<{ version: number }> {
  const { businessId } = who
  return inScope(
    { role: 'office', ...who },
    async (tx) => {
      await lockAll(tx, businessId)
      const lanes = new Map<string, LaneSummary[]>()
      for (const tankIds of await tankChunks(tx, businessId)) {
        for (const lane of await readLanes(tx, businessId, { tankIds }, todayDay)) {
          const together = lanes.get(pairKey(lane)) ?? []
          together.push(lane)
          lanes.set(pairKey(lane), together)
        }
      }
      const earlier = await readModels(tx, businessId)
      const version = (earlier?.version ?? 0) + 1
      const fits = [...lanes.values()].flatMap((together) => {
        const first = together[0]
        return first
          ? [
              fitPooled(
                first,
                together.flatMap((lane) => lane.read.lives),
              ),
            ]
          : []
      })
      // Where every record of a pair was taken back nothing is known any more: without a row its former fit would stand.
      for (const { equipmentClass, failureMode } of earlier?.fits.values() ?? [])
        if (!lanes.has(pairKey({ equipmentClass, failureMode })))
          fits.push(fitPooled({ equipmentClass, failureMode }, []))
      await tx.lifeModel.createMany({
        data: fits
          .sort((a, b) => (pairKey(a) < pairKey(b) ? -1 : 1))
          .map(({ equipmentClass, failureMode, shape, scaleDays, logLikelihood, lives, events, notEstimable }) => ({
            businessId,
            id: crypto.randomUUID(),
            version,
            equipmentClass,
            failureMode,
            cutoffOn: dateOfDay(todayDay),
            shape,
            scaleDays,
            logLikelihood,
            lives,
            events,
            notEstimable,
            source: modelInUse({ failureMode, events, shape, scaleDays }).source,
          })),
      })
      await rebuild(tx, businessId, version)
      return { version }
    },
    { timeoutMs: TEN_MINUTES_MS },
  )
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
      await rebuild(tx, who.businessId, version)
    },
    { timeoutMs: TEN_MINUTES_MS },
  )
}

/**
 * Makes the lanes of these devices again, in the transaction that changed them (a visit, a swap, a correction), with what
 * hangs on them: their due items, and the rank of each class × mode touched.
 */
export async function touchLanes(tx: Transaction, businessId: string, equipmentIds: readonly string[]): Promise<void> {
  const ids = [...new Set(equipmentIds)].sort()
  if (ids.length === 0) return
  await tx.$queryRaw`SELECT 1 AS locked FROM pg_advisory_xact_lock_shared(hashtextextended(${`derived ${businessId}`}, 0))`
  await tx.$queryRaw`SELECT id FROM equipment WHERE business_id = ${businessId}::uuid AND id = ANY (${ids}::uuid[]) ORDER BY id FOR UPDATE`
  const models = (await readModels(tx, businessId)) ?? NO_MODELS
  const before = await tx.lane.findMany({
    where: { businessId, equipmentId: { in: ids } },
    select: { equipmentClass: true, failureMode: true },
  })
  await tx.lane.deleteMany({ where: { businessId, equipmentId: { in: ids } } })
  await tx.dueItem.deleteMany({ where: { businessId, equipmentId: { in: ids } } })
  const lanes = await readLanes(tx, businessId, { equipmentIds: ids }, models.cutoffDay)
  await storeTogether(tx, businessId, lanes, models)
  const pairs = new Map([...before, ...lanes].map((pair) => [pairKey(pair), pair]))
  for (const key of [...pairs.keys()].sort()) {
    const pair = pairs.get(key)
    if (!pair) continue
    // Two visits of one class × mode at the same moment: the later one must see the earlier one's counts.
    await tx.$queryRaw`SELECT 1 AS locked FROM pg_advisory_xact_lock(hashtextextended(${`rank ${businessId} ${key}`}, 0))`
    await rerank(tx, businessId, pair, models.version)
  }
}

/** After a change of cadence or costs: the lanes of these tanks. */
export async function touchTanks(tx: Transaction, businessId: string, tankIds: readonly string[]): Promise<void> {
  const rows = await tx.equipment.findMany({
    where: { businessId, tankId: { in: [...tankIds] } },
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

async function rebuild(tx: Transaction, businessId: string, version?: number): Promise<void> {
  const models = (await readModels(tx, businessId, version)) ?? NO_MODELS
  await tx.repeatFault.deleteMany({ where: { businessId } })
  await tx.dueItem.deleteMany({ where: { businessId } })
  await tx.lane.deleteMany({ where: { businessId } })
  const pairs = new Map<string, { equipmentClass: string; failureMode: string }>()
  for (const tankIds of await tankChunks(tx, businessId)) {
    const lanes = await readLanes(tx, businessId, { tankIds }, models.cutoffDay)
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

async function rerank(
  tx: Transaction,
  businessId: string,
  { equipmentClass, failureMode }: { equipmentClass: string; failureMode: string },
  modelVersion: number,
): Promise<void> {
  const lanes = await tx.lane.findMany({
    where: { businessId, equipmentClass, failureMode },
    select: { tankId: true, events: true, expected: true },
    orderBy: [{ tankId: 'asc' }, { equipmentId: 'asc' }],
  })
  const counts = lanes.map((lane) => ({ tank: lane.tankId, observed: lane.events, expected: lane.expected }))
  await tx.repeatFault.deleteMany({ where: { businessId, equipmentClass, failureMode } })
  await storeFaults(
    tx,
    businessId,
    { equipmentClass, failureMode },
    rankWithIntervals(countsByTank(counts)),
    modelVersion,
  )
}
