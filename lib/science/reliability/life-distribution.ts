import { incompleteGamma, logGamma } from '@/lib/science/special-functions'

/** A Weibull life. shape above 0, scale above 0 in the unit of time in use. */
export type WeibullParameters = { shape: number; scale: number }

/** A life known only up to a posterior: weighted Weibulls, as `posteriorLife` gives them. Weights need not sum to 1. */
export type LifeMixture = { draws: readonly { shape: number; scale: number; weight: number }[] }

/**
 * `alreadyWeighed`: the weights of a mixture hold already that this very life has lasted so long, as those of a posterior fitted with it do; weighing
 * them by it again would count it twice. `within`: how far off an answer for a mixture may be, for where a whole day is near enough.
 */
export type ReachedAge = { alreadyWeighed?: boolean; within?: number }

/** What the functions below take: one Weibull, or a posterior mixture of them. */
export type Life = WeibullParameters | LifeMixture

/** Source of uniform random numbers from 0 up to, but not including, 1. Seeded by the caller. */
export type RandomSource = () => number

export function checkWeibull({ shape, scale }: WeibullParameters): void {
  if (!(shape > 0 && shape < Infinity)) throw new RangeError(`shape must be a number above 0, got ${shape}`)
  if (!(scale > 0 && scale < Infinity)) throw new RangeError(`scale must be a number above 0, got ${scale}`)
}

/** The parts of a life with weights that sum to 1. Errors: RangeError on an empty or invalid mixture. */
export function lifeParts(life: Life): { shape: number; scale: number; weight: number }[] {
  if (!('draws' in life)) {
    checkWeibull(life)
    return [{ shape: life.shape, scale: life.scale, weight: 1 }]
  }
  let total = 0
  for (const draw of life.draws) {
    checkWeibull(draw)
    if (!(draw.weight >= 0 && draw.weight < Infinity))
      throw new RangeError(`weight must be 0 or more, got ${draw.weight}`)
    total += draw.weight
  }
  if (!(total > 0)) throw new RangeError('a life needs at least one draw with a weight above 0')
  const parts: { shape: number; scale: number; weight: number }[] = []
  for (const { shape, scale, weight } of life.draws)
    if (weight > 0) parts.push({ shape, scale, weight: weight / total })
  return parts
}

/** Cumulative hazard (t / scale)^shape of one Weibull. */
export function cumulativeHazard({ shape, scale }: WeibullParameters, t: number): number {
  return t === Infinity ? Infinity : (t / scale) ** shape
}

function checkTime(t: number, name = 'time'): void {
  if (!(t >= 0)) throw new RangeError(`${name} must be 0 or more, got ${t}`)
}

function checkShare(q: number): void {
  if (!(q >= 0 && q <= 1)) throw new RangeError(`the share q must lie from 0 to 1, got ${q}`)
}

/**
 * Chance to last beyond t: S(t) = exp(−(t / scale)^shape), for a mixture its weighted mean.
 * Domain: t ≥ 0, Infinity gives 0. Errors: RangeError. Source: definition of the Weibull distribution.
 * @example survivalAt({ shape: 2, scale: 10 }, 10) // 0.3679
 */
export function survivalAt(life: Life, t: number): number {
  checkTime(t)
  if (!('draws' in life)) {
    checkWeibull(life)
    return Math.exp(-cumulativeHazard(life, t))
  }
  // Asked often and for many draws: one pass, nothing laid out.
  let total = 0
  let surviving = 0
  for (const draw of life.draws) {
    checkWeibull(draw)
    if (!(draw.weight >= 0 && draw.weight < Infinity))
      throw new RangeError(`weight must be 0 or more, got ${draw.weight}`)
    total += draw.weight
    if (draw.weight > 0) surviving += draw.weight * Math.exp(-cumulativeHazard(draw, t))
  }
  if (!(total > 0)) throw new RangeError('a life needs at least one draw with a weight above 0')
  return surviving / total
}

/**
 * The age by which the share q has ended: scale · (−log(1 − q))^(1 / shape); for a mixture the root of S(t) = 1 − q.
 * Domain: 0 ≤ q ≤ 1; q = 1 gives Infinity. Errors: RangeError.
 * @example quantileOf({ shape: 1, scale: 10 }, 0.5) // 6.93
 */
export function quantileOf(life: Life, q: number): number {
  return conditionalQuantile(life, 0, q)
}

/**
 * The age (not the time from now) by which the share q has ended of those that reached `age`: t with S(t) = (1 − q) · S(age).
 * Of a mixture whose weights hold that age already it is the mean of the draws' own chances to last on from there.
 * Domain: age ≥ 0 and finite, 0 ≤ q ≤ 1; q = 1 gives Infinity. Errors: RangeError.
 * @example conditionalQuantile({ shape: 1, scale: 10 }, 5, 0.5) // 11.93: without wear the age does not matter
 */
export function conditionalQuantile(life: Life, age: number, q: number, reached: ReachedAge = {}): number {
  return conditionalQuantiles(life, age, [q], reached)[0] ?? Number.NaN
}

/** The same for several shares at once; what they have in common is worked out once. */
export function conditionalQuantiles(
  life: Life,
  age: number,
  shares: readonly number[],
  { within = 0, alreadyWeighed = false }: ReachedAge = {},
): number[] {
  checkTime(age, 'age')
  if (age === Infinity) throw new RangeError('age must be finite')
  for (const q of shares) checkShare(q)
  const survivors = thoseThatReached(lifeParts(life), age, alreadyWeighed)
  return shares.map((q) => (q === 1 ? Infinity : q === 0 ? age : quantileOfSurvivors(survivors, age, q, within)))
}

/** A part of a mixture with its weight among those that reached an age and its cumulative hazard there. */
type Survivor = WeibullParameters & { weight: number; reached: number }

/** Weights w · S(age), computed so that none underflows to nothing. */
function thoseThatReached(
  parts: readonly { shape: number; scale: number; weight: number }[],
  age: number,
  alreadyWeighed: boolean,
): readonly Survivor[] {
  const survivors: Survivor[] = []
  let least = Infinity
  for (const part of parts) {
    const reached = cumulativeHazard(part, age)
    least = Math.min(least, reached)
    survivors.push({ shape: part.shape, scale: part.scale, weight: part.weight, reached })
  }
  if (age === 0 || least === Infinity || alreadyWeighed) return survivors
  let total = 0
  for (const part of survivors) {
    part.weight *= Math.exp(least - part.reached)
    total += part.weight
  }
  for (const part of survivors) part.weight /= total
  return survivors.filter(({ weight }) => weight > 0)
}

/**
 * The mixture's quantile lies between the least and the greatest of its parts' quantiles: Newton steps on the log of the share that survives, kept
 * between the two by halving.
 */
function quantileOfSurvivors(survivors: readonly Survivor[], age: number, q: number, within: number): number {
  const target = Math.log1p(-q)
  let low = Infinity
  let high = 0
  let t = 0
  for (const part of survivors) {
    const ofPart = conditionalQuantileOfOne(part, age, -target)
    low = Math.min(low, ofPart)
    high = Math.max(high, ofPart)
    t += part.weight * ofPart
  }
  for (let i = 0; i < 200 && high - low > Math.max(within, 1e-14 * high); i++) {
    if (!(t > low && t < high)) t = low + (high - low) / 2
    let survival = 0
    let slope = 0
    for (const { weight, shape, scale, reached } of survivors) {
      // The difference of two hazards, kept exact when both are close.
      const more = reached === 0 ? (t / scale) ** shape : reached * Math.expm1(shape * Math.log(t / age))
      const share = weight * Math.exp(-more)
      survival += share
      if (share > 0) slope += share * shape * (reached + more)
    }
    const excess = Math.log(survival) - target
    if (excess > 0) low = t
    else high = t
    const step = (excess * survival * t) / slope
    const next = t + step
    if (next > low && next < high && Math.abs(step) <= Math.max(within / 16, 1e-15 * t)) return next
    t = next
  }
  return low + (high - low) / 2
}

/** `needed`: the cumulative hazard that is still to come, −log(1 − q). */
function conditionalQuantileOfOne({ shape, scale, reached }: Survivor, age: number, needed: number): number {
  if (reached === 0) return Math.max(age, scale * needed ** (1 / shape))
  // needed / reached may overflow where the age is minute against the scale; the plain sum is exact there.
  if (reached < needed) return Math.max(age, scale * (reached + needed) ** (1 / shape))
  return age * Math.exp(Math.log1p(needed / reached) / shape)
}

/**
 * One random life by inversion: scale · (−log(1 − u))^(1 / shape) with u = random(); a mixture first draws its part.
 * `random` gives uniform numbers in [0, 1). Errors: RangeError when it does not.
 * @example sampleLife({ shape: 2, scale: 10 }, () => 0.5) // 8.33
 */
export function sampleLife(life: Life, random: RandomSource): number {
  const parts = lifeParts(life)
  const uniform = () => {
    const u = random()
    if (!(u >= 0 && u < 1)) throw new RangeError(`random() must give a number from 0 up to 1, got ${u}`)
    return u
  }
  let part = parts[0]
  if (parts.length > 1) {
    let left = uniform()
    part =
      parts.find((candidate) => {
        left -= candidate.weight
        return left < 0
      }) ?? parts.at(-1)
  }
  if (!part) throw new RangeError('a life needs at least one draw')
  return part.scale * (-Math.log1p(-uniform())) ** (1 / part.shape)
}

/**
 * Mean life, scale · Γ(1 + 1 / shape); for a mixture its weighted mean. Infinity when it is beyond the largest number.
 * @example meanLife({ shape: 1, scale: 10 }) // 10
 */
export function meanLife(life: Life): number {
  return lifeParts(life).reduce(
    (sum, { shape, scale, weight }) => sum + weight * scale * Math.exp(logGamma(1 + 1 / shape)),
    0,
  )
}

/** ∫₀ᵗ S of a Weibull life: scale · Γ(1 + 1/shape) · P(1/shape, (t/scale)^shape). */
export function expectedAgeBy(life: WeibullParameters, t: number): number {
  const mean = life.scale * Math.exp(logGamma(1 + 1 / life.shape))
  return mean * incompleteGamma(1 / life.shape, cumulativeHazard(life, t)).lower
}
