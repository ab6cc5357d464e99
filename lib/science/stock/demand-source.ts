import {
  cumulativeHazard,
  expectedAgeBy,
  type Life,
  lifeParts,
  meanLife,
  type WeibullParameters,
} from '@/lib/science/reliability/life-distribution'
import { chanceOfEnd, endingPicker, type LifeSpread, NORMAL_STEPS, pickerOf, remainingAge } from './life-in-doubt'

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
  const pick = pickerOf(lifeOf(source), okAge, source)
  const atVisit = visitsOf(source)
  const atNeed = isMetAtOnce ? (time: number) => Math.max(0, time) : atVisit
  const plannedIn = atVisit(source.plannedIn ?? Math.max(renewAt, okAge) - age)
  // Nobody renews twice at one visit.
  const leastStep = isMetAtOnce ? 0 : (source.visitEvery ?? 0)
  const life = lifeOf(source)
  // Most places need nothing within a short horizon: no need to work out when they will.
  const ending = plannedIn > horizon && !('draws' in life) ? endingPicker(life, okAge, age + horizon, source) : null
  const begin = (random: () => number, sharedOf: (group: string) => number) => {
    if (ending) return ending(random, sharedOf)
    // A posterior is one unknown life, not a new one at each renewal: drawn once a run.
    const own = pick(random, sharedOf)
    const u = random()
    return plannedIn > horizon && own.endsBy && u > own.endsBy(age + horizon) ? null : { own, u }
  }
  return (random, sharedOf) => {
    const begun = begin(random, sharedOf)
    if (!begun) return 0
    const { own, u } = begun
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

const lifeOf = (source: WearingSource): Life => ('life' in source ? source.life : source)

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
  const chance = lifeParts(lifeOf(source)).reduce(
    (sum, { shape, scale, weight }) =>
      sum +
      steps.reduce((ofPart, z) => {
        const life = { shape, scale: scale * Math.exp(sd * z) }
        return ofPart + (weight * chanceOfEnd(life, { okAge, age: age + within, isMetByChance })) / steps.length
      }, 0),
    0,
  )
  // A sum of shares of certainty exceeds it by rounding.
  return Math.min(1, chance)
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
