import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import type { RepeatFault } from '@/lib/trade'
import { dateOfDay } from './days'
import { type LaneSummary, storeLife } from './derive'
import type { DueDraft } from './due-items'

const ROWS_AT_A_TIME = 1000

/** Writes the lanes of some devices anew; `events` and `expected` are what repeat faults count. */
export async function storeLanes(
  tx: Transaction,
  businessId: string,
  lanes: readonly (LaneSummary & { counts: { observed: number; expected: number } })[],
) {
  const rows = lanes.map(
    (lane): Prisma.LaneCreateManyInput => ({
      businessId,
      equipmentId: lane.equipmentId,
      failureMode: lane.failureMode,
      equipmentClass: lane.equipmentClass,
      tankId: lane.tankId,
      slotId: lane.slotId,
      originOn: dateOrNull(lane.read.originDay),
      lastLookOn: dateOrNull(lane.lastLookDay),
      lastOkOn: dateOrNull(lane.read.lastOkDay),
      runningSinceOn: dateOrNull(lane.read.runningSince),
      looks: lane.looks,
      events: lane.counts.observed,
      expected: lane.counts.expected,
      lives: lane.read.lives.map(storeLife),
    }),
  )
  for (const chunk of chunksOf(rows)) await tx.lane.createMany({ data: chunk })
}

/** Writes due items anew. What a person reads, the band and the figures behind it go into `reason`. */
export async function storeDueItems(
  tx: Transaction,
  businessId: string,
  drafts: readonly DueDraft[],
  versions: { model: number; cost: number },
) {
  const rows = drafts.map(
    ({ due, costs, model, visitEveryDays, ...draft }): Prisma.DueItemCreateManyInput => ({
      businessId,
      ...draft,
      dueOn: dateOrNull(due.dueDay),
      earliestOn: dateOrNull(due.band[0]?.day ?? null),
      latestOn: dateOrNull(due.band.at(-1)?.day ?? null),
      intervalDays: Number.isFinite(due.intervalDays) ? due.intervalDays : null,
      modelVersion: versions.model,
      costVersion: versions.cost,
      reason: {
        rule: due.rule,
        words: due.reason,
        clientWords: due.clientWords,
        lookByDay: due.lookByDay,
        band: due.band,
        medianDays: due.medianDays,
        costPerYear: due.costPerYear,
        costPerYearWaiting: due.costPerYearWaiting,
        costs,
        model,
        visitEveryDays,
      },
    }),
  )
  for (const chunk of chunksOf(rows)) await tx.dueItem.createMany({ data: chunk })
}

/** Writes the ranked tanks of one class × mode. Only those with something observed are kept: the others have no story. */
export async function storeFaults(
  tx: Transaction,
  businessId: string,
  pair: { equipmentClass: string; failureMode: string },
  faults: readonly (RepeatFault & { adjustedP: number; lower: number; upper: number })[],
  modelVersion: number,
) {
  const rows = faults.map(
    (fault): Prisma.RepeatFaultCreateManyInput => ({
      businessId,
      tankId: fault.tank,
      equipmentClass: pair.equipmentClass,
      failureMode: pair.failureMode,
      observed: fault.observed,
      expected: fault.expected,
      rateRatio: fault.rateRatio,
      ratioLower: fault.lower,
      ratioUpper: fault.upper,
      probabilityAbove: fault.probabilityAbove,
      pValue: fault.pValue,
      adjustedP: fault.adjustedP,
      isSure: fault.sure,
      rank: fault.rank,
      overdispersed: fault.overdispersed,
      modelVersion,
    }),
  )
  for (const chunk of chunksOf(rows)) await tx.repeatFault.createMany({ data: chunk })
}

function dateOrNull(day: number | null): Date | null {
  return day === null ? null : dateOfDay(day)
}

function chunksOf<T>(rows: T[]): T[][] {
  const chunks: T[][] = []
  for (let start = 0; start < rows.length; start += ROWS_AT_A_TIME)
    chunks.push(rows.slice(start, start + ROWS_AT_A_TIME))
  return chunks
}
