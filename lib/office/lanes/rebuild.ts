import 'server-only'
import { availableParallelism } from 'node:os'
import { insertRows, packRows } from '@/lib/platform/db/insert-rows'
import type { Scope } from '@/lib/platform/db/scope'
import { inReading, inWriting, type Sql } from '@/lib/platform/db/sql'
import { isoOfDay } from './day-numbers'
import { deriveInThreads } from './derive-in-threads'
import { type DerivedPart, deriveParts, type Pair } from './derive-parts'
import { fitBusiness } from './fit-business'
import { fitInThread } from './fit-in-thread'
import type { DeviceRow } from './lane-rows'
import { fitPooled, type PooledFit, sourceOf } from './life-models'
import { pairKey } from './pair-key'
import { rerank } from './rank-faults'
import { NO_MODELS, readModelsBy } from './read-history'
import { recomputeStale } from './recompute-stale'
import { partsOfBusiness } from './stream-lanes'
import { thinModels } from './thin-models'

/** For whom derived figures are made. The worker has no person of its own: any uuid will do. */
export type DerivedFor = { businessId: string; personId: string }

/** More threads than this the database cannot feed. */
const MOST_THREADS = 4
/** A thread takes some seconds to start: it must have this many parts of 250 tanks to do. */
const PARTS_WORTH_A_THREAD = 4

/**
 * Fits every class × mode anew from all lives up to `today` (days since 1970-01-01), keeps the fits as a new version, and
 * makes lanes, due items and repeat faults again from it. Nightly, and after an import. One transaction, which writes, beside one
 * that reads: both see the business as it stands once no visit is being written.
 */
export async function refitLifeModels(who: DerivedFor, todayDay: number): Promise<{ version: number }> {
  return remaking(who, (scope, write, read) => refit(scope, write, read, todayDay))
}

/**
 * Makes all lanes in one transaction that nobody waits for: who changes a lane meanwhile marks it, and the marked ones are made again
 * afterwards, also where this failed.
 */
async function remaking<T>(who: DerivedFor, work: (scope: Scope, write: Sql, read: Sql) => Promise<T>): Promise<T> {
  const { businessId } = who
  const scope: Scope = { role: 'office', ...who }
  try {
    return await inWriting(scope, async (write) => {
      await write('SELECT 1 AS locked FROM pg_advisory_xact_lock(hashtextextended($1, 0))', [`derived ${businessId}`])
      // What is marked by now has been written down before the reading begins.
      await write('DELETE FROM stale_lane WHERE business_id = $1::uuid', [businessId])
      return inReading(scope, (read) => work(scope, write, read))
    })
  } finally {
    await recomputeStale(who)
  }
}

async function refit(scope: Scope, write: Sql, read: Sql, todayDay: number): Promise<{ version: number }> {
  const { businessId } = scope
  const parts = await partsOfBusiness(read, businessId)
  const fits =
    threadsFor(parts) > 1
      ? await fitInThread(scope, read, parts, todayDay)
      : await fitBusiness(read, businessId, parts, todayDay)
  const earlier = await readModelsBy(write, businessId)
  const version = (earlier?.version ?? 0) + 1
  const fitted = new Set(fits.map(pairKey))
  // Where every record of a pair was taken back nothing is known any more: without a row its former fit would stand.
  for (const { equipmentClass, failureMode } of earlier?.fits.values() ?? [])
    if (!fitted.has(pairKey({ equipmentClass, failureMode }))) fits.push(fitPooled({ equipmentClass, failureMode }, []))
  const rows = fits
    .sort((a, b) => (pairKey(a) < pairKey(b) ? -1 : 1))
    .map((fit) => modelRow(businessId, version, todayDay, fit))
  await insertRows(write, packRows('life_model', rows))
  await thinModels(write, businessId, todayDay)
  await rebuild(scope, write, read, parts, version)
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
  await remaking(who, async (scope, write, read) =>
    rebuild(scope, write, read, await partsOfBusiness(read, who.businessId), version),
  )
}

/** How many threads a business of so many parts is worth; 0 and 1: none beside the one that runs. */
function threadsFor(parts: DeviceRow[][]): number {
  return Math.min(availableParallelism(), MOST_THREADS, Math.floor(parts.length / PARTS_WORTH_A_THREAD))
}

async function rebuild(scope: Scope, write: Sql, read: Sql, parts: DeviceRow[][], version?: number): Promise<void> {
  const { businessId } = scope
  const models = (await readModelsBy(write, businessId, { version })) ?? NO_MODELS
  for (const table of ['repeat_fault', 'due_item', 'lane'])
    await write(`DELETE FROM ${table} WHERE business_id = $1::uuid`, [businessId])
  const pairs = new Map<string, Pair>()
  const store = async (part: DerivedPart) => {
    for (const pair of part.pairs) pairs.set(pairKey(pair), pair)
    for (const rows of part.rows) await insertRows(write, rows)
  }
  const threads = threadsFor(parts)
  if (threads > 1) await deriveInThreads(scope, read, parts, models, store, threads)
  else for await (const part of deriveParts(scope, read, parts, models)) await store(part)
  for (const key of [...pairs.keys()].sort()) {
    const pair = pairs.get(key)
    if (pair) await rerank(write, businessId, pair, models.version)
  }
  await write('UPDATE business SET derived_missing = false WHERE id = $1::uuid AND derived_missing', [businessId])
}
