/** The life of one place, known up to some doubt: drawn once a run, with the chance that it has ended by an age. */
import {
  checkWeibull,
  cumulativeHazard,
  type Life,
  lifeParts,
  type WeibullParameters,
} from '@/lib/science/reliability/life-distribution'
import { remainingQuantiles } from '@/lib/science/reliability/unknown-age'
import { incompleteGamma, normalQuantile } from '@/lib/science/special-functions'

/**
 * How far a life may be from the one given: standard deviations of the logarithm of its scale. `shared`: what all places of a group are wrong by together, so that
 * it does not level out over many; `own`: what is particular to the place. Both given that it has lasted to the age when last seen fine.
 */
export type LifeSpread = { group: string; shared: number; own: number }

/** How well a place's life and age are known. */
export type HowKnown = { lifeSpread?: LifeSpread; isMetByChance?: boolean }

/** The age at which it ends, given that it was fine at `okAge`, by inversion. */
export function remainingAge(own: WeibullParameters, okAge: number, u: number, isMetByChance = false): number {
  if (isMetByChance)
    return okAge + (remainingQuantiles({ shape: own.shape, scale: own.scale }, okAge, [u], { within: 0.25 })[0] ?? 0)
  const reached = cumulativeHazard(own, okAge)
  return reached === Infinity ? okAge : Math.max(okAge, own.scale * (reached - Math.log1p(-u)) ** (1 / own.shape))
}

type Part = WeibullParameters & {
  /** Chance that it ends by an age, given that it was fine at the age last seen; worked out once for each age. */ endsBy: (
    age: number,
  ) => number
}

function partOf(life: WeibullParameters, okAge: number, isMetByChance = false): Part {
  let [knownAge, known] = [Number.NaN, 0]
  const endsBy = (age: number) => {
    if (age !== knownAge) [knownAge, known] = [age, chanceOfEnd(life, { okAge, age, isMetByChance })]
    return known
  }
  return { shape: life.shape, scale: life.scale, endsBy }
}

type Ages = { okAge: number; age: number; isMetByChance?: boolean | undefined }

/** Chance that a life ends by `age`, given that it was fine at `okAge`; both from first sight where it was met by chance. */
export function chanceOfEnd(life: WeibullParameters, { okAge, age, isMetByChance = false }: Ages): number {
  const reached = cumulativeHazard(life, okAge)
  if (age <= okAge) return 0
  if (reached === Infinity) return 1
  if (!isMetByChance) return -Math.expm1(reached - cumulativeHazard(life, age))
  const left = (time: number) => incompleteGamma(1 / life.shape, cumulativeHazard(life, time)).upper
  const atOk = left(okAge)
  return atOk > 0 ? Math.min(1, Math.max(0, 1 - left(age) / atOk)) : 1
}

export type Picker = (random: () => number, sharedOf: (group: string) => number) => WeibullParameters & Partial<Part>

/** Draws one of a life's parts, weighing each by how likely it is to have reached the age. */
export function pickerOf(life: Life, okAge: number, { lifeSpread, isMetByChance }: HowKnown): Picker {
  if (lifeSpread) return spreadPicker(life, lifeSpread)
  if (!('draws' in life)) {
    checkWeibull(life)
    const only = partOf(life, okAge, isMetByChance)
    return () => only
  }
  const parts = lifeParts(life)
  const own = parts.map((part) => partOf(part, okAge, isMetByChance))
  const hazards = parts.map((part) => cumulativeHazard(part, okAge))
  const least = Math.min(...hazards)
  const upTo: number[] = []
  let total = 0
  for (const [index, part] of parts.entries()) {
    total += least === Infinity ? part.weight : part.weight * Math.exp(least - (hazards[index] ?? 0))
    upTo.push(total)
  }
  return (random) => {
    const aim = random() * total
    let [low, high] = [0, parts.length - 1]
    while (low < high) {
      const middle = (low + high) >> 1
      if ((upTo[middle] ?? 0) > aim) high = middle
      else low = middle + 1
    }
    const part = own[low]
    if (!part) throw new RangeError('a life needs at least one draw')
    return part
  }
}

/** A life whose scale is known up to a log-normal: what the group shares, and a step of the place's own. */
function spreadPicker(life: Life, { group, shared, own }: LifeSpread): Picker {
  if ('draws' in life)
    throw new RangeError('a life is given either as draws or as one Weibull with its spread, not both')
  checkWeibull(life)
  const { shape, scale } = life
  const commonly = NORMAL_STEPS.map((z) => scale * Math.exp(shared * z))
  const alone = NORMAL_STEPS.map((z) => Math.exp(own * z))
  return (random, sharedOf) => {
    const common = sharedOf(group)
    const step = Math.floor(random() * alone.length)
    return { shape, scale: (commonly[common] ?? scale) * (alone[step] ?? 1) }
  }
}

export type Needed = { own: WeibullParameters; u: number }

/**
 * Draws whether a life given as one Weibull ends by an age at all, and how if it does: the same law as a draw of the life and then of its end, but most places need nothing
 * within a short horizon, and for those one number is enough. Null: not by then.
 */
export function endingPicker(
  life: WeibullParameters,
  okAge: number,
  by: number,
  { lifeSpread, isMetByChance = false }: HowKnown,
): (random: () => number, sharedOf: (group: string) => number) => Needed | null {
  checkWeibull(life)
  const { shape, scale } = life
  const { group = '', shared = 0, own = 0 } = lifeSpread ?? {}
  const alone = own > 0 ? NORMAL_STEPS.map((z) => Math.exp(own * z)) : [1]
  // For each step of what the group shares: chances summed over the steps of the place's own. Numbers only: there are thousands of places.
  const known: (Float64Array | undefined)[] = []
  const centreOf = (common: number) => scale * Math.exp(lifeSpread ? shared * (NORMAL_STEPS[common] ?? 0) : 0)
  const standOf = (common: number) => {
    const centre = centreOf(common)
    const upTo = new Float64Array(alone.length)
    let sum = 0
    for (let step = 0; step < alone.length; step++) {
      const one = { shape, scale: centre * (alone[step] ?? 1) }
      sum += chanceOfEnd(one, { okAge, age: by, isMetByChance }) / alone.length
      upTo[step] = sum
    }
    known[common] = upTo
    return upTo
  }
  return (random, sharedOf) => {
    const common = lifeSpread ? sharedOf(group) : 0
    const upTo = known[common] ?? standOf(common)
    const u = random()
    if (u >= (upTo[upTo.length - 1] ?? 0)) return null
    let step = 0
    while (u >= (upTo[step] ?? 1)) step++
    // What is left of the number within its part is again even over the ends by that age.
    const left = u - (step === 0 ? 0 : (upTo[step - 1] ?? 0))
    return { own: { shape, scale: centreOf(common) * (alone[step] ?? 1) }, u: left * upTo.length }
  }
}

/** Steps of equal chance that stand for a standard normal, stretched to its variance. */
export const NORMAL_STEPS = equalSteps(21)

function equalSteps(count: number): readonly number[] {
  const raw = Array.from({ length: count }, (_, i) => normalQuantile((i + 0.5) / count))
  const sd = Math.sqrt(raw.reduce((sum, z) => sum + z * z, 0) / count)
  return raw.map((z) => z / sd)
}
