import { incompleteGamma, logGamma } from '@/lib/science/special-functions'
import { checkCost } from './check-cost'
import { type Life, lifeParts, survivalAt, type WeibullParameters } from './life-distribution'

export type VisitCosts = {
  /** Time between visits, in the unit of the life (days for us). */
  visitEvery: number
  /** Cost of a planned renewal at a visit. */
  planned: number
  /** Cost of a renewal when a visit finds it needed. */
  found: number
  /** Cost when the client reports it and someone has to come. */
  callOut: number
  /** Share of needs that the client reports at once, 0 to 1; the others wait for the next visit. */
  shareReported: number
  /** Cost per day for each day that a need stays unseen. */
  hiddenCostPerDay: number
}

export type VisitReplacement = {
  /** Renew at this visit after the last renewal; Infinity: only when it is needed. */
  afterVisits: number
  /** Cost per unit of time. */
  costRate: number
  costRateRunToFailure: number
}

/** Visits that are summed one by one; beyond them Euler–Maclaurin takes over. */
const SUMMED_VISITS = 4096
const NO_SAVING = 1e-10

/**
 * After how many visits to renew, when needs are seen at visits every τ or reported by the client with share r:
 * C(K) = [cp·S(Kτ) + (1−S(Kτ))·(r·cc + (1−r)·cf) + (1−r)·h·Σⱼ∫(S((j−1)τ)−S)] / [(1−r)·τ·Σⱼ S((j−1)τ) + r·∫₀^{Kτ} S], sums over j = 1…K, integrals over ((j−1)τ, jτ].
 * The visit clock restarts at each renewal. With r = 1 and τ → 0 it is age replacement. Shape ≤ 1 (in every part of a mixture): Infinity, for a fresh
 * one is no better than one that has lasted. A mixture weighs costs and times of its parts.
 * Errors: RangeError on bad input. Source: renewal–reward theorem (Barlow & Proschan 1965, ch. 3–4) applied to this policy.
 * @example visitReplacement({ shape: 3, scale: 140 }, { visitEvery: 14, planned: 20, found: 40, callOut: 120, shareReported: 0.3, hiddenCostPerDay: 1 })
 */
export function visitReplacement(life: Life, costs: VisitCosts): VisitReplacement {
  const parts = lifeParts(life)
  const costRate = visitReplacementCost(life, costs)
  const costRateRunToFailure = costRate(Infinity)
  const never = { afterVisits: Infinity, costRate: costRateRunToFailure, costRateRunToFailure }
  if (parts.every(({ shape }) => shape <= 1)) return never
  const last = lastVisitWorthTrying(parts, costs.visitEvery)
  const best = cheapestVisit(costRate, last)
  const rate = costRate(best)
  return rate < costRateRunToFailure * (1 - NO_SAVING)
    ? { afterVisits: best, costRate: rate, costRateRunToFailure }
    : never
}

/**
 * The cost rate C(K) of `visitReplacement` as a function of K, the visits between renewals: for a curve around the optimum.
 * K is a whole number from 1, or Infinity (only when needed). Units, domain, errors and source as there.
 * @example visitReplacementCost({ shape: 3, scale: 140 }, costs)(8)
 */
export function visitReplacementCost(life: Life, costs: VisitCosts): (visits: number) => number {
  const parts = lifeParts(life)
  checkVisitCosts(costs)
  const profiles = parts.map((part) => ({ weight: part.weight, profile: new CycleProfile(part, costs.visitEvery) }))
  return (visits) => {
    if (!(visits >= 1 && (visits === Infinity || Number.isInteger(visits)))) {
      throw new RangeError(`visits must be a whole number from 1 or Infinity, got ${visits}`)
    }
    let survival = 0
    let visited = 0
    let lived = 0
    for (const { weight, profile } of profiles) {
      const cycle = profile.at(visits)
      survival += weight * cycle.survival
      visited += weight * cycle.visited
      lived += weight * cycle.lived
    }
    return costPerTime({ survival, visited, lived }, costs)
  }
}

export function checkVisitCosts(costs: VisitCosts): void {
  if (!(costs.visitEvery > 0 && costs.visitEvery < Infinity)) {
    throw new RangeError(`visitEvery must be a number above 0, got ${costs.visitEvery}`)
  }
  checkCost(costs.planned, 'planned', 'zero')
  checkCost(costs.found, 'found', 'zero')
  checkCost(costs.callOut, 'callOut', 'zero')
  checkCost(costs.hiddenCostPerDay, 'hiddenCostPerDay', 'zero')
  if (!(costs.shareReported >= 0 && costs.shareReported <= 1)) {
    throw new RangeError(`shareReported must lie from 0 to 1, got ${costs.shareReported}`)
  }
}

/** A single life is searched to its very end. Of a posterior, whose tail is belief rather than wear, only until one in a thousand is left. */
function lastVisitWorthTrying(parts: ReturnType<typeof lifeParts>, visitEvery: number): number {
  const end = Math.max(...parts.map((part) => lastVisitOfInterest(part, visitEvery)))
  if (parts.length === 1) return end
  let last = 1
  while (last < end && survivalAt({ draws: parts }, last * visitEvery) > 1e-3)
    last = Math.max(last + 1, Math.floor(last * 1.1))
  return Math.min(last, end)
}

/** The number of visits by which hardly one in 10¹⁶ has lasted. */
function lastVisitOfInterest({ shape, scale }: WeibullParameters, visitEvery: number): number {
  return Math.min(Math.ceil((scale / visitEvery) * 37 ** (1 / shape)) + 1, Number.MAX_SAFE_INTEGER)
}

/** C(K) of `visitReplacement` from what a plan of K visits comes to. */
export function costPerTime({ survival, visited, lived }: Cycle, costs: VisitCosts): number {
  const { planned, found, callOut, shareReported: r, hiddenCostPerDay } = costs
  const needed = (1 - survival) * (r * callOut + (1 - r) * found)
  const hidden = (1 - r) * hiddenCostPerDay * Math.max(0, visited - lived)
  return (planned * survival + needed + hidden) / ((1 - r) * visited + r * lived)
}

/** What a plan of K visits comes to: the chance to last it, the time until a visit ends the cycle, the time until the need. */
export type Cycle = { survival: number; visited: number; lived: number }

/**
 * For a plan of K visits: the chance to last it, τ Σ S((j−1)τ) (time until a visit ends the cycle) and ∫₀^{Kτ} S (time until the need).
 * Sums past the first visits by Euler–Maclaurin, whose error there is far below rounding. A class, for many thousands are made one after the other.
 */
export class CycleProfile {
  private readonly shape: number
  private readonly logScale: number
  private readonly mean: number
  private readonly logGammaOfNext: number
  private readonly last: number
  private readonly sums: Float64Array

  constructor(
    life: WeibullParameters,
    private readonly visitEvery: number,
    summedVisits = SUMMED_VISITS,
  ) {
    this.shape = life.shape
    this.logScale = Math.log(life.scale)
    this.logGammaOfNext = logGamma(1 + 1 / life.shape)
    this.mean = life.scale * Math.exp(this.logGammaOfNext)
    this.last = Math.min(lastVisitOfInterest(life, visitEvery), summedVisits)
    this.sums = new Float64Array(this.last + 1)
    const logVisit = Math.log(visitEvery) - this.logScale
    let sum = 1 // everything lasts until the first visit begins
    this.sums[1] = sum
    for (let j = 2; j <= this.last; j++) {
      sum += Math.exp(-Math.exp(this.shape * (logVisit + logOf(j - 1))))
      this.sums[j] = sum
    }
  }

  /** After so many visits; Infinity: only when it is needed. */
  at(visits: number): Cycle {
    const t = visits * this.visitEvery
    const lived = visits === Infinity ? this.mean : this.mean * this.ended(t).lower
    return { survival: this.survival(t), visited: this.visitedBy(visits), lived }
  }

  private hazard(t: number): number {
    return Math.exp(this.shape * (Math.log(t) - this.logScale))
  }

  private survival(t: number): number {
    return Math.exp(-this.hazard(t))
  }

  private ended(t: number) {
    return incompleteGamma(1 / this.shape, this.hazard(t), this.logGammaOfNext)
  }

  private remaining(t: number): number {
    return this.mean * this.ended(t).upper
  }

  private slope(t: number): number {
    return t === Infinity ? 0 : (-this.shape / t) * this.hazard(t) * this.survival(t) || 0
  }

  private visitedBy(visits: number): number {
    const { visitEvery, last } = this
    if (visits <= last) return visitEvery * (this.sums[visits] ?? 0)
    const from = last * visitEvery
    const to = visits * visitEvery
    // Σ over j = last … visits − 1 of f(jτ) ≈ (1/τ) ∫ f + (f(from) − f(to)) / 2 + τ (f′(to) − f′(from)) / 12
    const tail = this.remaining(from) - (to === Infinity ? 0 : this.remaining(to))
    const ends = (visitEvery * (this.survival(from) - this.survival(to))) / 2
    const slopes = (visitEvery ** 2 * (this.slope(to) - this.slope(from))) / 12
    return visitEvery * (this.sums[last] ?? 0) + tail + ends + slopes
  }
}

/** Logs of the first whole numbers: the visits of every plan. */
const LOGS = Float64Array.from({ length: SUMMED_VISITS + 1 }, (_, n) => Math.log(n))
const logOf = (n: number) => LOGS[n] ?? Math.log(n)

/** The cheapest whole number of visits from 1 to last: every one where they are few, else a geometric scan that closes in. */
function cheapestVisit(costRate: (visits: number) => number, last: number): number {
  let low = 1
  let high = last
  let best = 1
  let bestRate = costRate(1)
  const consider = (visits: number) => {
    const rate = costRate(visits)
    if (rate < bestRate) {
      best = visits
      bestRate = rate
    }
  }
  while (high - low > SUMMED_VISITS) {
    const ratio = (high / low) ** (1 / 256)
    for (let step = 0; step <= 256; step++) consider(Math.min(high, Math.max(low, Math.round(low * ratio ** step))))
    const reach = Math.max(ratio ** 2, 1 + 4 / best)
    const nextLow = Math.max(low, Math.floor(best / reach))
    const nextHigh = Math.min(high, Math.ceil(best * reach))
    if (nextHigh - nextLow >= high - low) break
    low = nextLow
    high = nextHigh
  }
  for (let visits = low; visits <= Math.min(high, low + 2 * SUMMED_VISITS); visits++) consider(visits)
  return best
}
