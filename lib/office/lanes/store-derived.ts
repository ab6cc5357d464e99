import 'server-only'
import { insertRows, type PackedRows, packRows } from '@/lib/platform/db/insert-rows'
import type { Sql } from '@/lib/platform/db/sql'
import type { CountedLane } from './compute-derived'
import { isoOfDay } from './day-numbers'
import { storeLife } from './derive'
import type { DueDraft } from './due-items'
import type { RankedFault } from './faults'
import { reasonOf } from './stored-reason'

/** Lanes as rows; `events` and `expected` are what repeat faults count. */
export function laneRows(businessId: string, lanes: readonly CountedLane[]): PackedRows {
  const rows = lanes.map((lane) => ({
    business_id: businessId,
    equipment_id: lane.equipmentId,
    failure_mode: lane.failureMode,
    equipment_class: lane.equipmentClass,
    tank_id: lane.tankId,
    slot_id: lane.slotId,
    origin_on: dateOrNull(lane.read.originDay),
    last_look_on: dateOrNull(lane.lastLookDay),
    last_ok_on: dateOrNull(lane.read.lastOkDay),
    running_since_on: dateOrNull(lane.read.runningSince),
    looks: lane.looks,
    events: lane.counts.observed,
    expected: lane.counts.expected,
    lives: lane.read.lives.map(storeLife),
  }))
  return packRows('lane', rows)
}

/** Due items as rows. What a person reads, the band and the figures behind it go into `reason`. */
export function dueItemRows(
  businessId: string,
  drafts: readonly DueDraft[],
  versions: { model: number; cost: number },
): PackedRows {
  const rows = drafts.map((draft) => ({
    business_id: businessId,
    equipment_id: draft.equipmentId,
    care_task: draft.careTask,
    failure_mode: draft.failureMode,
    equipment_class: draft.equipmentClass,
    tank_id: draft.tankId,
    due_on: dateOrNull(draft.due.dueDay),
    earliest_on: dateOrNull(draft.due.band[0]?.day ?? null),
    latest_on: dateOrNull(draft.due.band.at(-1)?.day ?? null),
    interval_days: Number.isFinite(draft.due.intervalDays) ? draft.due.intervalDays : null,
    model_version: versions.model,
    cost_version: versions.cost,
    reason: reasonOf(draft),
    proposal: draft.proposal,
  }))
  return packRows('due_item', rows)
}

/** Writes the ranked tanks of one class × mode. */
export async function storeFaults(
  sql: Sql,
  businessId: string,
  pair: { equipmentClass: string; failureMode: string },
  faults: readonly RankedFault[],
  modelVersion: number,
): Promise<void> {
  const rows = faults.map((fault) => ({
    business_id: businessId,
    tank_id: fault.tank,
    equipment_class: pair.equipmentClass,
    failure_mode: pair.failureMode,
    observed: fault.observed,
    expected: fault.expected,
    rate_ratio: fault.rateRatio,
    ratio_lower: fault.lower,
    ratio_upper: fault.upper,
    probability_above: fault.probabilityAbove,
    p_value: fault.pValue,
    adjusted_p: fault.adjustedP,
    is_sure: fault.sure,
    rank: fault.rank,
    overdispersed: fault.overdispersed,
    model_version: modelVersion,
  }))
  await insertRows(sql, packRows('repeat_fault', rows))
}

function dateOrNull(day: number | null): string | null {
  return day === null ? null : isoOfDay(day)
}
