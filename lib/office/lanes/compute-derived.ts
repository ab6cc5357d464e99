import { groupBy } from '../frame/group-by'
import type { LaneSummary } from './derive'
import {
  type ClientCostRow,
  type CostRow,
  type DueDraft,
  dueDrafts,
  type IntervalChoices,
  type KnownLane,
} from './due-items'
import { countLane } from './faults'
import { lessonOf } from './life-lessons'
import { modelInUse, type PooledFit } from './life-models'
import { pairKey } from './pair-key'

/** What the business has set for some tanks, read before anything is computed. */
export type DerivedSettings = {
  costs: { version: number; rows: CostRow[] }
  /** What a need costs more at the client of this tank; null where nothing was said. */
  clientCostOf: (tankId: string) => ClientCostRow | null
  /** How often we come by the tank's agreement, days. */
  visitEveryDays: (tankId: string) => number
  choicesOf: (equipmentId: string, careTask: string, failureMode: string) => IntervalChoices
  /** What the parts of a piece of work cost us, minor units; 0 where none is known. */
  partsCostOf: (equipmentId: string, careTask: string) => number
  /** What a minute of work costs to start from, in the business's currency, minor units. */
  labourPerMinute: number
  /** The day on which a measured path crosses its threshold. */
  wearOf: (equipmentId: string, failureMode: string) => { day: number; words: string } | undefined
  formatMoney: (minor: number) => string
}

export type ModelVersion = { version: number; cutoffDay: number; fits: ReadonlyMap<string, PooledFit> }

export type CountedLane = LaneSummary & { counts: { observed: number; expected: number } }

/**
 * What follows from the lanes of whole tanks, or of all devices of a class in a tank, at one model version: needs counted beside those
 * expected, and what is due. Pure: the same lanes, models and settings give the same answer, in a visit as in a rebuild.
 */
export function computeDerived(
  lanes: readonly LaneSummary[],
  models: ModelVersion,
  settings: DerivedSettings,
): { lanes: CountedLane[]; due: DueDraft[] } {
  const fitOf = (lane: LaneSummary) => models.fits.get(pairKey(lane))
  return {
    lanes: lanes.map((lane) => ({ ...lane, counts: countLane(lane.read.lives, lane.mode, fitOf(lane)) })),
    due: [...groupBy(lanes, (lane) => lane.tankId)].flatMap(([tankId, ofTank]) =>
      dueDrafts(knownLanes(ofTank, fitOf), {
        costRows: settings.costs.rows,
        clientCost: settings.clientCostOf(tankId),
        visitEveryDays: settings.visitEveryDays(tankId),
        choicesOf: settings.choicesOf,
        partsCostOf: settings.partsCostOf,
        labourPerMinute: settings.labourPerMinute,
        wearOf: settings.wearOf,
        formatMoney: settings.formatMoney,
        cutoffDay: models.cutoffDay,
      }),
    ),
  }
}

/** All devices of one class in a tank share what is particular to the tank, so their lives are weighed together. */
function knownLanes(lanes: readonly LaneSummary[], fitOf: (lane: LaneSummary) => PooledFit | undefined): KnownLane[] {
  return [...groupBy(lanes, pairKey).values()].flatMap((together) => {
    const ordered = [...together].sort((a, b) => (a.equipmentId < b.equipmentId ? -1 : 1))
    const first = ordered[0]
    if (!first) return []
    const fit = fitOf(first)
    const model = modelInUse(first.failureMode, fit, ordered.map(lessonOf))
    return ordered.map((lane) => ({ lane, model, knowledge: fit?.knowledge ?? null }))
  })
}
