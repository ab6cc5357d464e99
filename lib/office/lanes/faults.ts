import { benjaminiHochberg, gammaQuantile } from '@/lib/science'
import { countFaults, type FaultCount, type Life, type RepeatFault, rankFaults } from '@/lib/trade'
import type { PooledFit } from './life-models'

export type RankedFault = RepeatFault & { adjustedP: number; lower: number; upper: number }

const FALSE_DISCOVERY_RATE = 0.05
const LEVEL = 0.9

/** Needs observed in one lane and expected under the pooled fit; none of either where the mode could not be fitted. */
export function countLane(
  lives: readonly Life[],
  { announcesItself }: { announcesItself: boolean },
  fit: PooledFit | undefined,
): { observed: number; expected: number } {
  if (!fit || fit.shape === null || fit.scaleDays === null) return { observed: 0, expected: 0 }
  return countFaults(lives, { shape: fit.shape, scaleDays: fit.scaleDays, announcesItself })
}

/** Counts of several lanes of one tank, added up; sorted by tank so that sums and ranks are the same every time. */
export function countsByTank(counts: readonly FaultCount[]): FaultCount[] {
  const byTank = new Map<string, FaultCount>()
  for (const { tank, observed, expected } of counts) {
    const sum = byTank.get(tank) ?? { tank, observed: 0, expected: 0 }
    byTank.set(tank, { tank, observed: sum.observed + observed, expected: sum.expected + expected })
  }
  return [...byTank.values()].sort((a, b) => (a.tank < b.tank ? -1 : 1))
}

/** The rule of the trade room, with what the screen shows beside it: adjusted p-values and a 90 % interval of the ratio. */
export function rankWithIntervals(counts: readonly FaultCount[]): RankedFault[] {
  const ranked = rankFaults(counts)
  if (ranked.length === 0) return []
  const { adjusted } = benjaminiHochberg(
    ranked.map((fault) => fault.pValue),
    FALSE_DISCOVERY_RATE,
  )
  const tail = (1 - LEVEL) / 2
  return ranked.map((fault, index) => ({
    ...fault,
    adjustedP: adjusted[index] ?? 1,
    lower: gammaQuantile(fault.ratioGamma, tail),
    upper: gammaQuantile(fault.ratioGamma, 1 - tail),
  }))
}
