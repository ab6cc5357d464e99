import 'server-only'
import type { PackedRows } from '@/lib/platform/db/insert-rows'
import { inScope, type Scope } from '@/lib/platform/db/scope'
import type { Sql } from '@/lib/platform/db/sql'
import { computeDerived, type DerivedSettings, type ModelVersion } from './compute-derived'
import type { LaneSummary } from './derive'
import type { DeviceRow } from './lane-rows'
import { pairKey } from './pair-key'
import { readSettings } from './read-history'
import { dueItemRows, laneRows } from './store-derived'
import { lanesOf, streamParts } from './stream-lanes'

export type Pair = { equipmentClass: string; failureMode: string }

/** What follows from some whole tanks, ready to be written. */
export type DerivedPart = { rows: PackedRows[]; pairs: Pair[] }

/** Tanks worked on before what came out is handed on, so that it can be written while the next ones are worked on. */
const TANKS_BETWEEN = 25

/** Lanes and due items of these parts of a business at one model version. */
export async function* deriveParts(
  scope: Scope,
  read: Sql,
  parts: DeviceRow[][],
  models: ModelVersion,
): AsyncGenerator<DerivedPart> {
  const { businessId } = scope
  for await (const part of streamParts(read, businessId, parts)) {
    const lanes = lanesOf(part, models.cutoffDay)
    const settings = await inScope(scope, (tx) => readSettings(tx, businessId, tanksOf(lanes)))
    for (const ofTanks of someTanks(lanes)) yield derivedPart(businessId, ofTanks, models, settings)
  }
}

/** Lanes and due items from lanes. Pure. */
export function derivedPart(
  businessId: string,
  lanes: readonly LaneSummary[],
  models: ModelVersion,
  settings: DerivedSettings,
): DerivedPart {
  const derived = computeDerived(lanes, models, settings)
  const pairs = new Map<string, Pair>()
  for (const { equipmentClass, failureMode } of lanes) {
    const pair = { equipmentClass, failureMode }
    pairs.set(pairKey(pair), pair)
  }
  const versions = { model: models.version, cost: settings.costs.version }
  return {
    rows: [laneRows(businessId, derived.lanes), dueItemRows(businessId, derived.due, versions)],
    pairs: [...pairs.values()],
  }
}

/** The tanks of lanes, in the order of their ids. */
export function tanksOf(lanes: readonly LaneSummary[]): string[] {
  return [...new Set(lanes.map((lane) => lane.tankId))].sort()
}

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
