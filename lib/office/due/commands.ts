import 'server-only'
import { insertRows } from '@/lib/platform/db/insert-rows'
import { inScope, type Scope, type Transaction } from '@/lib/platform/db/scope'
import { inReading, inWriting, type Sql, sqlOf } from '@/lib/platform/db/sql'
import { computeDerived, type DerivedSettings, type ModelVersion } from './compute-derived'
import { isoOfDay } from './days'
import type { LaneSummary } from './derive'
import { type LaneLesson, lessonOf } from './life-lessons'
import { fitPooled, type PooledFit, sourceOf } from './life-models'
import { pairKey } from './pair-key'
import { rerank, rerankTouched } from './rank-faults'
import { readLanes, readModels, readModelsBy, readSettings, streamLanes } from './read-history'
import { storeDueItems, storeLanes } from './store-derived'

/** For whom derived figures are made. The worker has no person of its own: any uuid will do. */
export type DerivedFor = { businessId: string; personId: string }

const NO_MODELS = { version: 0, cutoffDay: 0, fits: new Map<string, PooledFit>() }

/**
 * Fits every class × mode anew from all lives up to `today` (days since 1970-01-01), keeps the fits as a new version, and
 * makes lanes, due items and repeat faults again from it. Nightly, and after an import. One transaction, which writes, beside one
 * that reads: both see the business as it stands once no visit is being written.
 */
export async function refitLifeModels(who: DerivedFor, todayDay: number): Promise<{ version: number }> {
  const scope: Scope = { role: 'office', ...who }
  return inWriting(scope, async (write) => {
    await lockAll(write, who.businessId)
    return inReading(scope, (read) => refit(scope, write, read, todayDay))
  })
}

async function refit(scope: Scope, write: Sql, read: Sql, todayDay: number): Promise<{ version: number }> {
  const { businessId } = scope
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
  const earlier = await readModelsBy(write, businessId)
  const version = (earlier?.version ?? 0) + 1
  const fits = [...lessons.values()].map(({ of, ...pair }) => fitPooled(pair, of))
  // Where every record of a pair was taken back nothing is known any more: without a row its former fit would stand.
  for (const { equipmentClass, failureMode } of earlier?.fits.values() ?? [])
    if (!lessons.has(pairKey({ equipmentClass, failureMode })))
      fits.push(fitPooled({ equipmentClass, failureMode }, []))
  const rows = fits
    .sort((a, b) => (pairKey(a) < pairKey(b) ? -1 : 1))
    .map((fit) => modelRow(businessId, version, todayDay, fit))
  await insertRows(write, 'life_model', rows)
  lessons.clear()
  await rebuild(scope, write, read, version)
  return { version }
}

function modelRow(businessId: string, version: number, cutoffDay: number, { knowledge, ...fit }: PooledFit) {
  return {
    business_id: businessId,
    id: crypto.randomUUID(),
    version,
    equipment_class: fit.equipmentClass,
    failure_mode: fit.failureMode,
    cutoff_on: isoOfDay(cutoffDay),
    shape: fit.shape,
    scale_days: fit.scaleDays,
    log_likelihood: fit.logLikelihood,
    lives: fit.lives,
    events: fit.events,
    not_estimable: fit.notEstimable,
    source: sourceOf(knowledge),
    parameters: knowledge ?? {},
    made_at: new Date().toISOString(),
  }
}

/**
 * Drops lane, due_item and repeat_fault and makes them again from what happened, at the newest (or the given) model version:
 * the same bytes as before. One transaction.
 */
export async function rebuildDerived(who: DerivedFor, version?: number): Promise<void> {
  const scope: Scope = { role: 'office', ...who }
  await inWriting(scope, async (write) => {
    await lockAll(write, who.businessId)
    await inReading(scope, (read) => rebuild(scope, write, read, version))
  })
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
  const settings = await readSettings(tx, businessId, tanksOf(lanes))
  await store(sqlOf(tx), businessId, computeDerived(lanes, models, settings), models, settings)
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

async function lockAll(write: Sql, businessId: string): Promise<void> {
  await write('SELECT 1 AS locked FROM pg_advisory_xact_lock(hashtextextended($1, 0))', [`derived ${businessId}`])
}

async function rebuild(scope: Scope, write: Sql, read: Sql, version?: number): Promise<void> {
  const { businessId } = scope
  const models = (await readModelsBy(write, businessId, version)) ?? NO_MODELS
  for (const table of ['repeat_fault', 'due_item', 'lane'])
    await write(`DELETE FROM ${table} WHERE business_id = $1::uuid`, [businessId])
  const pairs = new Map<string, { equipmentClass: string; failureMode: string }>()
  // What was worked out is written while the next tanks are worked on.
  let written: Promise<void> = Promise.resolve()
  try {
    for await (const lanes of streamLanes(read, businessId, models.cutoffDay)) {
      const settings = await inScope(scope, (tx) => readSettings(tx, businessId, tanksOf(lanes)))
      for (const ofTanks of someTanks(lanes)) {
        const derived = computeDerived(ofTanks, models, settings)
        await written
        written = store(write, businessId, derived, models, settings)
        written.catch(() => undefined) // it is awaited above and below, which throws; until then nobody listens
      }
      for (const { equipmentClass, failureMode } of lanes) {
        const pair = { equipmentClass, failureMode }
        if (!pairs.has(pairKey(pair))) pairs.set(pairKey(pair), pair)
      }
    }
  } finally {
    await written
  }
  for (const key of [...pairs.keys()].sort()) {
    const pair = pairs.get(key)
    if (pair) await rerank(write, businessId, pair, models.version)
  }
}

async function store(
  sql: Sql,
  businessId: string,
  derived: ReturnType<typeof computeDerived>,
  models: ModelVersion,
  settings: DerivedSettings,
): Promise<void> {
  await storeLanes(sql, businessId, derived.lanes)
  await storeDueItems(sql, businessId, derived.due, { model: models.version, cost: settings.costs.version })
}

const tanksOf = (lanes: readonly LaneSummary[]) => [...new Set(lanes.map((lane) => lane.tankId))].sort()

/** Tanks worked on between two looks at what the database has done. */
const TANKS_BETWEEN = 25

/** Lanes in parts of some whole tanks. */
function someTanks(lanes: readonly LaneSummary[]): LaneSummary[][] {
  const partOfTank = new Map(tanksOf(lanes).map((tankId, index) => [tankId, Math.floor(index / TANKS_BETWEEN)]))
  const parts: LaneSummary[][] = []
  for (const lane of lanes) {
    const part = partOfTank.get(lane.tankId) ?? 0
    parts[part] ??= []
    parts[part].push(lane)
  }
  return parts
}
