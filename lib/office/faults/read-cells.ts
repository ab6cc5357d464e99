import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import type { RateSpread } from '@/lib/science'
import { type FaultCell, faultCells, findMode, type Life, ratioSpread } from '@/lib/trade'
import { loadLife } from '../lanes/derive'
import { pairKey } from '../lanes/pair-key'
import { storedLivesSchema } from '../lanes/stored-reason'

export type FaultPair = { tankId: string; equipmentClass: string; failureMode: string }

/** Only what names the pair: more would be asked of the database. */
export const pairOf = ({ tankId, equipmentClass, failureMode }: FaultPair): FaultPair => ({
  tankId,
  equipmentClass,
  failureMode,
})

const keyOf = ({ tankId, equipmentClass, failureMode }: FaultPair) => `${tankId} ${equipmentClass} ${failureMode}`

/**
 * Needs and expected needs by day of some tanks × modes, under the route's model of the version their counts were made with. Empty where the
 * mode has no model. The lanes of several devices of one tank are added up.
 */
export async function readFaultCells(
  tx: Transaction,
  businessId: string,
  pairs: readonly (FaultPair & { modelVersion: number })[],
): Promise<(pair: FaultPair) => FaultCell[]> {
  const lanes = await tx.lane.findMany({
    where: { businessId, OR: pairs.map(pairOf) },
    select: { tankId: true, equipmentClass: true, failureMode: true, lives: true },
    orderBy: [{ equipmentId: 'asc' }, { failureMode: 'asc' }],
  })
  const models = await tx.lifeModel.findMany({
    where: {
      businessId,
      OR: pairs.map(({ equipmentClass, failureMode, modelVersion: version }) => ({
        equipmentClass,
        failureMode,
        version,
      })),
    },
    select: { equipmentClass: true, failureMode: true, shape: true, scaleDays: true },
  })
  const lives = new Map<string, Life[]>()
  for (const lane of lanes)
    lives.set(keyOf(lane), [...(lives.get(keyOf(lane)) ?? []), ...storedLivesSchema.parse(lane.lives).map(loadLife)])
  return (pair) => {
    const model = models.find(
      (one) => one.equipmentClass === pair.equipmentClass && one.failureMode === pair.failureMode,
    )
    if (!model || model.shape === null || model.scaleDays === null) return []
    const announcesItself = findMode(pair.failureMode)?.announcesItself ?? false
    return faultCells(lives.get(keyOf(pair)) ?? [], { shape: model.shape, scaleDays: model.scaleDays, announcesItself })
  }
}

/** How far the tanks differ in each class × mode of these, from what their lanes have counted. */
export async function readRateSpreads(
  tx: Transaction,
  businessId: string,
  pairs: readonly FaultPair[],
): Promise<(pair: FaultPair) => RateSpread> {
  const wanted = new Map(
    pairs.map(({ equipmentClass, failureMode }) => {
      const pair = { equipmentClass, failureMode }
      return [pairKey(pair), pair]
    }),
  )
  const rows = await tx.repeatFault.findMany({
    where: { businessId, OR: [...wanted.values()] },
    select: { equipmentClass: true, failureMode: true, observed: true, expected: true },
    orderBy: { tankId: 'asc' },
  })
  const spreads = new Map<string, RateSpread>()
  return (pair) => {
    const key = pairKey(pair)
    const known = spreads.get(key)
    if (known) return known
    const spread = ratioSpread(rows.filter((row) => pairKey(row) === key))
    spreads.set(key, spread)
    return spread
  }
}
