/**
 * Which tanks need the same care more often than tanks like them. A tank is held against what its own looks would have found
 * under the route's life model, so that looking or cleaning more often neither makes nor hides an offender.
 */
import {
  benjaminiHochberg,
  fitRateSpread,
  likeliestSpread,
  poissonUpperTail,
  probabilityAbove,
  type RateSpread,
  rateUnder,
} from '@/lib/science'
import { checkRouteModel, expectedAtLooks, type RouteModel } from './expected-at-looks'
import type { Life } from './lives/types'

export type { RouteModel } from './expected-at-looks'

export type FaultCount = { tank: string; observed: number; expected: number }

export type RepeatFault = FaultCount & {
  /** Needs per expected need, drawn towards the other tanks. 1 = like the others. */
  rateRatio: number
  /** What is known of that ratio: a Gamma that holds also that nobody knows how far the tanks differ. */
  ratioGamma: { shape: number; rate: number }
  /** Chance that the tank's own ratio is above 1.5. */
  probabilityAbove: number
  /** Exact one-sided Poisson: this many needs or more in a tank like the others. */
  pValue: number
  sure: boolean
  /** 1 = most suspect. */
  rank: number
  /** False: the tanks differ no more than chance would have it, nothing is sure and the rank follows the p-value. */
  overdispersed: boolean
}

const RATIO_THAT_MATTERS = 1.5
const FALSE_DISCOVERY_RATE = 0.05

/**
 * Observed and expected needs of one tank × mode. Expected: over its own looks, 1 - S(age at this look) / S(age at the last
 * ok look). Lives of unknown age count on neither side. Units: days.
 * @throws RangeError on a model outside its domain.
 */
export function countFaults(lives: readonly Life[], model: RouteModel): { observed: number; expected: number } {
  checkRouteModel(model)
  let observed = 0
  let expected = 0
  for (const life of lives) {
    if (life.unknownAge) continue
    if (life.event) observed += 1
    expectedAtLooks(life, model, (_age, chance) => {
      expected += chance
    })
  }
  return { observed, expected }
}

/** What is expected is fitted to the same tanks, so that their ratios lie about 1: within a factor of 1.8 with 19 in 20. Common practice, no source. */
const MEAN_RATIO = { median: 1, sdOfLog: 0.3 }

/** How far the ratios of these tanks differ, for `rateUnder`. Tanks without any expectation are left out. */
export function ratioSpread(counts: readonly Pick<FaultCount, 'observed' | 'expected'>[]): RateSpread {
  const samples = counts.flatMap(({ observed, expected }) =>
    expected > 0 ? [{ count: observed, exposure: expected }] : [],
  )
  return fitRateSpread(samples, { mean: MEAN_RATIO })
}

/**
 * Ranks the tanks of one class × mode. `sure` = Benjamini–Hochberg at 0.05 on the exact Poisson p-value and a shrunken ratio of
 * at least 1.5. Tanks without any expectation (nobody looked) are left out. Sorted by rank; ties by tank, so that the same
 * counts give the same list.
 */
export function rankFaults(counts: readonly FaultCount[]): RepeatFault[] {
  const units = counts.filter((count) => count.expected > 0).sort((a, b) => (a.tank < b.tank ? -1 : 1))
  if (units.length === 0) return []
  const pValues = units.map(({ observed, expected }) => poissonUpperTail(observed, expected))
  const { rejected } = benjaminiHochberg(pValues, FALSE_DISCOVERY_RATE)
  const samples = units.map(({ observed, expected }) => ({ count: observed, exposure: expected }))
  const overdispersed = likeliestSpread(samples) !== null
  const spread = ratioSpread(units)
  const rows = units.map((unit, i) => {
    const { mean, shape, rate } = rateUnder(spread, { count: unit.observed, exposure: unit.expected })
    return {
      ...unit,
      rateRatio: mean,
      ratioGamma: { shape, rate },
      probabilityAbove: overdispersed ? probabilityAbove({ shape, rate }, RATIO_THAT_MATTERS) : 0,
      pValue: pValues[i] ?? 1,
      sure: overdispersed && (rejected[i] ?? false) && mean >= RATIO_THAT_MATTERS,
      overdispersed,
    }
  })
  rows.sort((a, b) => b.probabilityAbove - a.probabilityAbove || a.pValue - b.pValue || (a.tank < b.tank ? -1 : 1))
  return rows.map((row, i) => ({ ...row, rank: i + 1 }))
}

/** Counts and ranks in one go: the lives of each tank (all its devices of the class) under the route's model. */
export function repeatFaults(
  livesByTank: readonly { tank: string; lives: readonly Life[] }[],
  model: RouteModel,
): RepeatFault[] {
  return rankFaults(livesByTank.map(({ tank, lives }) => ({ tank, ...countFaults(lives, model) })))
}

/** One tank's row in a plain sentence. */
export function repeatFaultWords(fault: RepeatFault): string {
  const counts = `${fault.observed} ${fault.observed === 1 ? 'need' : 'needs'} where tanks like it would have shown about ${fault.expected.toFixed(1)}`
  if (fault.sure) return `${counts}: more than chance explains.`
  if (!fault.overdispersed) return `${counts}; these tanks differ no more than chance would have it.`
  return `${counts}; not enough yet to be sure.`
}
