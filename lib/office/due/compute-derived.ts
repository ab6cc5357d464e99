import type { LaneSummary } from './derive'
import { type CostRow, type DueDraft, dueDrafts } from './due-items'
import { countLane } from './faults'
import { modelInUse, type PooledFit } from './life-models'
import { pairKey } from './pair-key'

/** What the business has set for some tanks, read before anything is computed. */
export type DerivedSettings = {
  costs: { version: number; rows: CostRow[] }
  /** How often we come by the tank's agreement, days. */
  visitEveryDays: (tankId: string) => number
  formatMoney: (minor: number) => string
}

export type ModelVersion = { version: number; fits: ReadonlyMap<string, PooledFit> }

export type CountedLane = LaneSummary & { counts: { observed: number; expected: number } }

/**
 * What follows from the lanes of whole tanks, or of whole devices, at one model version: needs counted beside those
 * expected, and what is due. Pure: the same lanes, models and settings give the same answer, in a visit as in a rebuild.
 */
export function computeDerived(
  lanes: readonly LaneSummary[],
  models: ModelVersion,
  settings: DerivedSettings,
): { lanes: CountedLane[]; due: DueDraft[] } {
  const fitOf = (lane: LaneSummary) => models.fits.get(pairKey(lane))
  const modelOf = (lane: LaneSummary) =>
    modelInUse(fitOf(lane) ?? { failureMode: lane.failureMode, events: 0, shape: null, scaleDays: null })
  const byTank = new Map<string, LaneSummary[]>()
  for (const lane of lanes) {
    const together = byTank.get(lane.tankId)
    if (together) together.push(lane)
    else byTank.set(lane.tankId, [lane])
  }
  return {
    lanes: lanes.map((lane) => ({ ...lane, counts: countLane(lane.read.lives, fitOf(lane)) })),
    due: [...byTank].flatMap(([tankId, together]) =>
      dueDrafts(together, modelOf, settings.costs.rows, settings.visitEveryDays(tankId), settings.formatMoney),
    ),
  }
}
