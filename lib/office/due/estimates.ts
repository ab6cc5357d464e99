import 'server-only'
import { type Actor, inBusiness } from '../frame/actor'
import { pairKey } from '../lanes/pair-key'
import { readModels } from '../lanes/read-history'

export type Estimates = {
  estimates: {
    equipmentClass: string
    failureMode: string
    shape: number | null
    scaleDays: number | null
    logLikelihood: number | null
    lives: number
    events: number
    notEstimable?: string
  }[]
  repeatFaults: {
    tank: string
    equipmentClass: string
    failureMode: string
    rateRatio: number
    probabilityAbove: number
    sure: boolean
  }[]
}

/**
 * The plain fits of the business's own history and its repeat faults, in the words of the files it came from where it was
 * imported. Sorted by class and mode; repeat faults by rank. Empty before the first fit.
 */
export function estimatesOf(actor: Actor): Promise<Estimates> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const models = await readModels(tx, businessId)
    const overlay = await tx.catalogueOverlay.findMany({
      where: { businessId, name: { not: '' } },
      orderBy: { id: 'asc' },
    })
    const classWords = new Map(overlay.filter((row) => row.kind === 'class').map((row) => [row.slug, row.name]))
    const modeWords = new Map(
      overlay
        .filter((row) => row.kind === 'mode')
        .map((row) => [pairKey({ equipmentClass: row.equipmentClass, failureMode: row.slug }), row.name]),
    )
    const named = <T extends { equipmentClass: string; failureMode: string }>(pair: T) => ({
      equipmentClass: classWords.get(pair.equipmentClass) ?? pair.equipmentClass,
      failureMode: modeWords.get(pairKey(pair)) ?? pair.failureMode,
    })
    // A pair whose records were all taken back keeps an empty fit, which is no estimate.
    const looked = await tx.lane.findMany({
      where: { businessId },
      select: { equipmentClass: true, failureMode: true },
      distinct: ['equipmentClass', 'failureMode'],
    })
    const present = new Set(looked.map(pairKey))
    const faults = await tx.repeatFault.findMany({
      where: { businessId },
      include: { tank: { select: { name: true } } },
      orderBy: [{ equipmentClass: 'asc' }, { failureMode: 'asc' }, { rank: 'asc' }],
    })
    return {
      estimates: [...(models?.fits.values() ?? [])]
        .filter((fit) => present.has(pairKey(fit)))
        .sort((a, b) => (pairKey(a) < pairKey(b) ? -1 : 1))
        .map((fit) => ({
          ...named(fit),
          shape: fit.shape,
          scaleDays: fit.scaleDays,
          logLikelihood: fit.logLikelihood,
          lives: fit.lives,
          events: fit.events,
          ...(fit.notEstimable ? { notEstimable: fit.notEstimable } : {}),
        })),
      repeatFaults: faults.map((fault) => ({
        tank: fault.tank.name,
        ...named(fault),
        rateRatio: fault.rateRatio,
        probabilityAbove: fault.probabilityAbove,
        sure: fault.isSure,
      })),
    }
  })
}
