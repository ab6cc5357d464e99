import { expectedAgeBy } from '@/lib/science/reliability/age-replacement'
import {
  checkWeibull,
  cumulativeHazard,
  type Life,
  lifeParts,
  meanLife,
  type WeibullParameters,
} from '@/lib/science/reliability/life-distribution'
import { remainingQuantiles } from '@/lib/science/reliability/unknown-age'
import { incompleteGamma, normalQuantile } from '@/lib/science/special-functions'

/** A place in which something wears out and is renewed. Times in one unit throughout. */
export type WearingSource = ({ life: Life } | Life) & {
  /** How old the present one is; 0 when absent. */
  age?: number
  /** Its age when it was last seen fine: a need that came since then is met at once. `age` when absent. */
  okAge?: number
  /** Nobody knows how old it was when first seen: its ages count from there, and what is left is that of a life met by chance (`remainingQuantiles`). */
  isMetByChance?: boolean
  /** Planned renewal age. */
  renewAt?: number
  /** The first planned renewal is so far away, where that does not follow from the age. */
  plannedIn?: number
  /** Nothing is renewed before this much time from now, e.g. before the next visit. 0 when absent. */
  notBefore?: number
  /** Visits come at `notBefore` and every so often after it: what comes in between is met at the next one. At once when absent. */
  visitEvery?: number
  /** A need announces itself and is met at once; visits then hold for planned renewals only. */
  isMetAtOnce?: boolean
  /** How well its life is known. Known exactly when absent. */
  lifeSpread?: LifeSpread
  /** Units used up by one renewal; 1 when absent. */
  quantity?: number
}
/**
 * How far a life may be from the one given: standard deviations of the logarithm of its scale. `shared`: what all places of a group are wrong by together, so that
 * it does not level out over many; `own`: what is particular to the place. Both given that it has lasted to the age when last seen fine.
 */
export type LifeSpread = { group: string; shared: number; own: number }
/** Used up without anything that wears behind it: so many uses in so much time, each of `quantity` units (1 when absent). */
export type CountedSource = { count: number; exposure: number; quantity?: number }

/** One thing that uses up a part. */
export type DemandSource = WearingSource | CountedSource

/** More renewals of one place than this within a horizon mean that the horizon or the life is in the wrong unit. */
const MOST_RENEWALS = 10_000
/** Before anything was counted half a use is taken for known: Jeffreys' prior of a Poisson rate. */
const JEFFREYS = 0.5

/** @throws RangeError on a source outside its domain. */
export function checkSource(source: DemandSource): void {
  if ('count' in source) {
    const { count, exposure, quantity = 1 } = source
    if (!(count >= 0 && count < Infinity)) throw new RangeError(`a count must be a number of 0 or more, got ${count}`)
    if (!(exposure > 0 && exposure < Infinity)) throw new RangeError(`an exposure must be above 0, got ${exposure}`)
    if (!(quantity > 0 && quantity < Infinity)) throw new RangeError(`a quantity must be above 0, got ${quantity}`)
    return
  }
  const { age = 0, okAge = age, renewAt = Infinity, notBefore = 0, quantity = 1 } = source
  if (!(age >= 0 && age < Infinity)) throw new RangeError(`an age must be a number of 0 or more, got ${age}`)
  if (!(okAge >= 0 && okAge <= age)) throw new RangeError(`the age last seen fine lies from 0 to ${age}, got ${okAge}`)
  if (!(renewAt > 0)) throw new RangeError(`a planned age of renewal must be above 0, got ${renewAt}`)
  if (!(notBefore >= 0)) throw new RangeError(`the time before which nothing is renewed is 0 or more, got ${notBefore}`)
  if (!((source.visitEvery ?? 1) > 0))
    throw new RangeError(`visits must lie more than 0 apart, got ${source.visitEvery}`)
  const { shared = 0, own = 0 } = source.lifeSpread ?? {}
  for (const sd of [shared, own])
    if (!(sd >= 0 && sd < Infinity)) throw new RangeError(`the spread of a life is a number of 0 or more, got ${sd}`)
  if (!(quantity > 0 && quantity < Infinity)) throw new RangeError(`a quantity must be above 0, got ${quantity}`)
}

/** Draws how many units a source uses up within the horizon. `sharedOf`: what a group of places is off by in this run, as an index of `NORMAL_STEPS`. */
export type Sampler = (random: () => number, sharedOf: (group: string) => number) => number

/** A source made ready to be drawn from many times. */
export function samplerOf(source: DemandSource, horizon: number): Sampler {
  return 'count' in source ? countedSampler(source, horizon) : wearingSampler(source, horizon)
}

function wearingSampler(source: WearingSource, horizon: number): Sampler {
  const { age = 0, okAge = age, renewAt = Infinity, notBefore = 0, isMetAtOnce = false, quantity = 1 } = source
  if (notBefore > horizon && !isMetAtOnce) return () => 0
  const pick = pickerOf(source, okAge)
  const atVisit = visitsOf(source)
  const atNeed = isMetAtOnce ? (time: number) => Math.max(0, time) : atVisit
  const plannedIn = atVisit(source.plannedIn ?? Math.max(renewAt, okAge) - age)
  // Nobody renews twice at one visit.
  const leastStep = isMetAtOnce ? 0 : (source.visitEvery ?? 0)
  return (random, sharedOf) => {
    // A posterior is one unknown life, not a new one at each renewal: drawn once a run.
    const own = pick(random, sharedOf)
    const u = random()
    // Most places need nothing within a short horizon: no need to work out when they will.
    if (plannedIn > horizon && u > own.endsBy(age + horizon)) return 0
    let now = Math.min(atNeed(remainingAge(own, okAge, u, source.isMetByChance) - age), plannedIn)
    let renewals = 0
    while (now <= horizon) {
      renewals++
      if (renewals > MOST_RENEWALS)
        throw new RangeError('more than 10,000 renewals of one place fall within the horizon: check the units')
      const ends = now + own.scale * (-Math.log1p(-random())) ** (1 / own.shape)
      now = Math.max(now + leastStep, Math.min(atNeed(ends), atVisit(now + renewAt)))
    }
    return renewals * quantity
  }
}

/** The first visit at or after a time; the time itself where nobody says how often somebody comes. */
function visitsOf({ notBefore = 0, visitEvery }: WearingSource): (time: number) => number {
  return (time) => {
    if (time <= notBefore || visitEvery === undefined || time === Infinity) return Math.max(time, notBefore)
    // Sums of whole days miss whole visits by rounding only.
    return notBefore + Math.ceil((time - notBefore) / visitEvery - 1e-9) * visitEvery
  }
}

export const lifeOf = (source: WearingSource): Life => ('life' in source ? source.life : source)

/** The age at which it ends, given that it was fine at `okAge`, by inversion. */
function remainingAge(own: WeibullParameters, okAge: number, u: number, isMetByChance = false): number {
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
function chanceOfEnd(life: WeibullParameters, { okAge, age, isMetByChance = false }: Ages): number {
  const reached = cumulativeHazard(life, okAge)
  if (age <= okAge) return 0
  if (reached === Infinity) return 1
  if (!isMetByChance) return -Math.expm1(reached - cumulativeHazard(life, age))
  const left = (time: number) => incompleteGamma(1 / life.shape, cumulativeHazard(life, time)).upper
  const atOk = left(okAge)
  return atOk > 0 ? Math.min(1, Math.max(0, 1 - left(age) / atOk)) : 1
}

/**
 * Chance that the need of a place has come within a time from now, over all that its life may be (`lifeSpread`), as the forecast draws it. A life given as draws is taken as it is.
 * Errors: RangeError on a bad source or time.
 */
export function needChance(source: WearingSource, within: number): number {
  checkSource(source)
  if (!(within >= 0)) throw new RangeError(`a time must be 0 or more, got ${within}`)
  const { age = 0, okAge = age, isMetByChance, lifeSpread } = source
  const sd = lifeSpread ? Math.hypot(lifeSpread.shared, lifeSpread.own) : 0
  const steps = sd > 0 ? NORMAL_STEPS : [0]
  return lifeParts(lifeOf(source)).reduce(
    (sum, { shape, scale, weight }) =>
      sum +
      steps.reduce((chance, z) => {
        const life = { shape, scale: scale * Math.exp(sd * z) }
        return chance + (weight * chanceOfEnd(life, { okAge, age: age + within, isMetByChance })) / steps.length
      }, 0),
    0,
  )
}

type Picker = (random: () => number, sharedOf: (group: string) => number) => Part

/** Draws one of a life's parts, weighing each by how likely it is to have reached the age. */
function pickerOf(source: WearingSource, okAge: number): Picker {
  const life = lifeOf(source)
  if (source.lifeSpread) return spreadPicker(life, source.lifeSpread, okAge, source.isMetByChance)
  if (!('draws' in life)) {
    checkWeibull(life)
    const only = partOf(life, okAge, source.isMetByChance)
    return () => only
  }
  const parts = lifeParts(life)
  const own = parts.map((part) => partOf(part, okAge, source.isMetByChance))
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

/** A life whose scale is known up to a log-normal: what the group shares, and a step of the place's own. Each pair of steps is worked out once. */
function spreadPicker(life: Life, { group, shared, own }: LifeSpread, okAge: number, isMetByChance = false): Picker {
  if ('draws' in life)
    throw new RangeError('a life is given either as draws or as one Weibull with its spread, not both')
  checkWeibull(life)
  const known = new Map<number, Part>()
  return (random, sharedOf) => {
    const common = sharedOf(group)
    const step = Math.floor(random() * NORMAL_STEPS.length)
    const key = common * NORMAL_STEPS.length + step
    const before = known.get(key)
    if (before) return before
    const off = shared * (NORMAL_STEPS[common] ?? 0) + own * (NORMAL_STEPS[step] ?? 0)
    const part = partOf({ shape: life.shape, scale: life.scale * Math.exp(off) }, okAge, isMetByChance)
    known.set(key, part)
    return part
  }
}

/** Steps of equal chance that stand for a standard normal, stretched to its variance. */
export const NORMAL_STEPS = equalSteps(21)

function equalSteps(count: number): readonly number[] {
  const raw = Array.from({ length: count }, (_, i) => normalQuantile((i + 0.5) / count))
  const sd = Math.sqrt(raw.reduce((sum, z) => sum + z * z, 0) / count)
  return raw.map((z) => z / sd)
}

/** Gamma–Poisson: the rate is known from the count only, so the number within the horizon is negative binomial. */
function countedSampler({ count, exposure, quantity = 1 }: CountedSource, horizon: number): Sampler {
  const shape = count + JEFFREYS
  const share = horizon / (exposure + horizon)
  const none = (1 - share) ** shape
  return (random) => {
    const u = random()
    let [n, chance, below] = [0, none, none]
    while (below < u && chance > 0 && n < MOST_RENEWALS) {
      chance *= ((n + shape) / (n + 1)) * share
      below += chance
      n++
    }
    return n * quantity
  }
}

/**
 * Units used up a unit of time in the long run, whatever the present age: quantity over the mean time between renewals, ∫₀ᵃ S for a planned age a
 * (elementary renewal theorem); for a posterior its weighted mean. Where needs wait for visits τ apart it is τ Σ S(jτ) over the visits j = 0, 1, … before the planned one.
 * A counted source: quantity · (count + ½) / exposure.
 * Errors: RangeError on bad input. Source: Barlow & Proschan 1965, ch. 3 and 4.
 * @example longRunDemand({ shape: 1, scale: 50 }) // 0.02
 */
export function longRunDemand(source: DemandSource): number {
  checkSource(source)
  if ('count' in source) return ((source.count + JEFFREYS) * (source.quantity ?? 1)) / source.exposure
  const { quantity = 1 } = source
  return lifeParts(lifeOf(source)).reduce(
    (sum, part) => sum + (part.weight * quantity) / meanTimeBetween(part, source),
    0,
  )
}

/** Beyond so many visits a life the sum is the mean life and half a visit. */
const VISITS_SUMMED = 2000

function meanTimeBetween(
  part: WeibullParameters,
  { renewAt = Infinity, visitEvery, isMetAtOnce }: WearingSource,
): number {
  const continuous = renewAt === Infinity ? meanLife(part) : expectedAgeBy(part, renewAt)
  if (visitEvery === undefined || isMetAtOnce) return continuous
  const visits = Math.max(1, Math.ceil(renewAt / visitEvery - 1e-9))
  if (continuous / visitEvery > VISITS_SUMMED / 20) return continuous + visitEvery / 2
  let sum = 0
  for (let visit = 0; visit < Math.min(visits, VISITS_SUMMED); visit++) {
    const surviving = Math.exp(-cumulativeHazard(part, visit * visitEvery))
    sum += surviving
    if (surviving < 1e-12) break
  }
  return visitEvery * sum
}
