/** What the tanks where a fault keeps coming back have in common, as a hint to its cause. A hint, not a proof: other things go along with it. */
import { benjaminiHochberg, fisherExactUpper } from '@/lib/science'

export const FAULT_FACTORS = {
  stringyRefugium: 'a stringy refugium',
  fineSand: 'fine sand',
  heavilyStocked: 'much stock and feeding',
  furryPets: 'furry pets about',
  hardTapWater: 'hard tap water',
  kitchenOrSmoke: 'a kitchen or smoke nearby',
  cleanedLate: 'the rest of the device cleaned more rarely than half of them',
  olderDevice: 'a device older than half of them',
  visitedRarely: 'visits further apart than half of them',
} as const
export type FaultFactor = keyof typeof FAULT_FACTORS

/** What is known of one tank. Left out: not known, and then the tank does not count for that factor. */
export type TankFactors = { tank: string; factors: Partial<Record<FaultFactor, boolean>> }

/** Figures of one tank that become factors by the route's own middle. */
export type TankMeasures = { tank: string; cleanedEveryDays?: number; deviceAgeDays?: number; visitEveryDays?: number }

export type FaultHint = {
  factor: FaultFactor
  /** Tanks where it keeps coming back, with the factor, of how many known. */
  offendersWith: number
  offenders: number
  othersWith: number
  others: number
  pValue: number
  adjustedP: number
  /** Stands out, with at most one false hint in twenty among those named. */
  standsOut: boolean
  words: string
}

const FALSE_DISCOVERY_RATE = 0.05
const OTHERS_NEEDED = 3

/**
 * Turns figures into factors: above the median over the tanks. A tank without the figure stays unknown. Where more than half of the tanks
 * share one figure nothing may lie above it: then the factor says nothing.
 */
export function measuredFactors(tanks: readonly TankMeasures[]): TankFactors[] {
  const above = (pick: (tank: TankMeasures) => number | undefined) => {
    const known = tanks.flatMap((tank) => pick(tank) ?? []).sort((one, other) => one - other)
    const middle = known[Math.floor((known.length - 1) / 2)]
    return (tank: TankMeasures) => {
      const value = pick(tank)
      return value === undefined || middle === undefined ? undefined : value > middle
    }
  }
  const late = above((tank) => tank.cleanedEveryDays)
  const old = above((tank) => tank.deviceAgeDays)
  const rare = above((tank) => tank.visitEveryDays)
  return tanks.map((tank) => {
    const factors: TankFactors['factors'] = {}
    const set = (factor: FaultFactor, has: boolean | undefined) => {
      if (has !== undefined) factors[factor] = has
    }
    set('cleanedLate', late(tank))
    set('olderDevice', old(tank))
    set('visitedRarely', rare(tank))
    return { tank: tank.tank, factors }
  })
}

/**
 * Hints for one class × mode: for each factor Fisher's exact one-sided test of offenders against the other tanks, Benjamini–Hochberg over the
 * factors that vary. Sorted by p-value. Empty where there is no offender or fewer than three others.
 * @param offenders tanks where it surely keeps coming back
 */
export function faultHints(tanks: readonly TankFactors[], offenders: ReadonlySet<string>): FaultHint[] {
  const tested = (Object.keys(FAULT_FACTORS) as FaultFactor[]).flatMap((factor) => {
    const known = tanks.filter((tank) => tank.factors[factor] !== undefined)
    const count = (isOffender: boolean, has?: boolean) =>
      known.filter(
        (tank) => offenders.has(tank.tank) === isOffender && (has === undefined || tank.factors[factor] === has),
      ).length
    const [withBoth, all, outcomeOthers, others] = [count(true, true), count(true), count(false, true), count(false)]
    // Nothing to compare where every tank has it or none.
    if (
      all === 0 ||
      others < OTHERS_NEEDED ||
      withBoth + outcomeOthers === 0 ||
      withBoth + outcomeOthers === all + others
    )
      return []
    const pValue = fisherExactUpper({
      withBoth,
      factorOnly: outcomeOthers,
      outcomeOnly: all - withBoth,
      neither: others - outcomeOthers,
    })
    return [{ factor, offendersWith: withBoth, offenders: all, othersWith: outcomeOthers, others, pValue }]
  })
  const { rejected, adjusted } = benjaminiHochberg(
    tested.map((hint) => hint.pValue),
    FALSE_DISCOVERY_RATE,
  )
  return tested
    .map((hint, place) => ({
      ...hint,
      adjustedP: adjusted[place] ?? 1,
      standsOut: rejected[place] ?? false,
      words: hintWords(hint),
    }))
    .sort((one, other) => one.pValue - other.pValue || (one.factor < other.factor ? -1 : 1))
}

/** "3 of 3 tanks where it keeps coming back have a stringy refugium; 5 of 40 others do." */
function hintWords(hint: Pick<FaultHint, 'factor' | 'offendersWith' | 'offenders' | 'othersWith' | 'others'>): string {
  const { factor, offendersWith, offenders, othersWith, others } = hint
  const tanks = offenders === 1 ? 'tank' : 'tanks'
  const has = offendersWith === 1 && offenders === 1 ? 'has' : 'have'
  return `${offendersWith} of ${offenders} ${tanks} where it keeps coming back ${has} ${FAULT_FACTORS[factor]}; ${othersWith} of ${others} others do.`
}

export type ClassicCause = { words: string; factor?: FaultFactor }

/** What the trade would look at first. Common practice, no source. */
const CLASSIC_CAUSES: Readonly<Record<string, ClassicCause>> = {
  'protein-skimmer/wheel-clogged': {
    words: 'strands of stringy macroalgae: a strainer, or the skimmer before the refugium',
    factor: 'stringyRefugium',
  },
  'protein-skimmer/impeller-grit': { words: 'fine sand stirred into the sump', factor: 'fineSand' },
  'protein-skimmer/shaft-hair': { words: 'hair of furry pets', factor: 'furryPets' },
  'protein-skimmer/impeller-film': {
    words: 'much feeding, and a general clean that comes late',
    factor: 'cleanedLate',
  },
  'protein-skimmer/neck-coated': { words: 'much stock and feeding', factor: 'heavilyStocked' },
  'protein-skimmer/air-line-restricted': { words: 'salt spray drawn into the air line' },
  'protein-skimmer/impeller-worn': { words: 'grit in the impeller housing, or age', factor: 'olderDevice' },
  'return-pump/impeller-scale': {
    words:
      'lime: top-up that is not RO (check its dissolved solids), lime water, dosing near the pump, high alkalinity',
    factor: 'hardTapWater',
  },
  'return-pump/strainer-blocked': { words: 'strands of macroalgae, or socks that overflow', factor: 'stringyRefugium' },
  'return-pump/worn': { words: 'sand through the pump, or age', factor: 'fineSand' },
  'circulation-pump/impeller-coralline': { words: 'coralline algae where calcium and alkalinity are high' },
  'external-filter/media-clogged': { words: 'much stock and feeding', factor: 'heavilyStocked' },
  'external-filter/impeller-scale': { words: 'hard tap water', factor: 'hardTapWater' },
  'filter-sock/full': { words: 'much stock and feeding', factor: 'heavilyStocked' },
  'chiller/condenser-dust': { words: 'grease and dust of a kitchen', factor: 'kitchenOrSmoke' },
  'led-light/dust': { words: 'dust, grease or smoke in the room', factor: 'kitchenOrSmoke' },
  'auto-top-up/sensor-fouled': { words: 'spray and film where the sump is busy', factor: 'heavilyStocked' },
  'uv-steriliser/sleeve-coated': { words: 'hard water', factor: 'hardTapWater' },
  'carbon-dioxide-set/diffuser-clogged': { words: 'algae in strong light, hard water', factor: 'hardTapWater' },
  'dosing-pump/line-blocked': { words: 'crystals where the line dries between doses' },
  'refugium/overgrown': { words: 'nutrients and feeding', factor: 'heavilyStocked' },
  'glass-and-decor/glass-film': { words: 'nutrients, light and sun', factor: 'heavilyStocked' },
  'feeding/overfed': { words: 'several people feed and nobody writes it down' },
  'power-and-control/plug-salted': { words: 'creep along cables without a drip loop' },
}

/** The classic cause of a mode, or null where the trade has no favourite. */
export function classicCause(failureMode: string): ClassicCause | null {
  return CLASSIC_CAUSES[failureMode] ?? null
}
