import { type Life, lifeParts } from './life-distribution'
import { CycleProfile, checkVisitCosts, costPerTime, type VisitCosts } from './visit-replacement'
import { quantileOfDraws } from './weighted-quantile'

/** What each plan costs under each draw of a life: `rates[plan][draw]` per unit of time, `weights[draw]` summing to 1. */
export type VisitPolicyCosts = { visits: number[]; weights: number[]; rates: number[][]; means: number[] }

/** Visits summed one by one; beyond them the tail is closed by Euler–Maclaurin, whose error there is below one part in 10⁸. */
const SUMMED_VISITS = 96

/**
 * The long-run cost of several plans ("renew after K visits", Infinity: only when needed) side by side, for a life that is not known for sure: each draw of the
 * posterior is one possible truth, and a tank lives under one truth. Formula as in `visitReplacement`, once per draw; `means` weighs the draws.
 * Units: cost per unit of time of the life. Domain: visits whole from 1, or Infinity. Errors: RangeError on bad input.
 * Source: renewal–reward theorem (Barlow & Proschan 1965, ch. 3–4).
 * @example visitPolicyCosts({ shape: 3, scale: 140 }, costs, [8, 12, Infinity]).means
 */
export function visitPolicyCosts(life: Life, costs: VisitCosts, visits: readonly number[]): VisitPolicyCosts {
  const parts = lifeParts(life)
  checkVisitCosts(costs)
  for (const plan of visits)
    if (!(plan >= 1 && (plan === Infinity || Number.isInteger(plan))))
      throw new RangeError(`visits must be a whole number from 1 or Infinity, got ${plan}`)
  const rates = visits.map(() => new Array<number>(parts.length).fill(0))
  const means = new Array<number>(visits.length).fill(0)
  parts.forEach((part, draw) => {
    const profile = new CycleProfile(part, costs.visitEvery, SUMMED_VISITS)
    visits.forEach((plan, index) => {
      const rate = costPerTime(profile.at(plan), costs)
      // Of a life so early and so long at once (shapes below a hundredth) the integrals leave the range of numbers.
      if (!Number.isFinite(rate))
        throw new RangeError(`no cost can be worked out for a life of shape ${part.shape} and scale ${part.scale}`)
      const row = rates[index]
      if (row) row[draw] = rate
      means[index] = (means[index] ?? 0) + part.weight * rate
    })
  })
  return { visits: [...visits], weights: parts.map(({ weight }) => weight), rates, means }
}

/** What one plan saves against another: weighted mean, the limits that hold 90 % of the draws, and the share of draws in which it saves at all. */
export type PolicySaving = { mean: number; lower: number; upper: number; chance: number }

/**
 * What the plan at index `to` saves per unit of time against the plan at index `from`, draw by draw, so that what is uncertain in both cancels.
 * Errors: RangeError when an index is outside the table.
 */
export function policySaving(table: VisitPolicyCosts, from: number, to: number): PolicySaving {
  const [before, after] = [table.rates[from], table.rates[to]]
  if (!before || !after) throw new RangeError(`there is no plan ${before ? to : from} in this table`)
  const drawn = table.weights.map((weight, draw) => ({ weight, value: (before[draw] ?? 0) - (after[draw] ?? 0) }))
  drawn.sort((one, other) => one.value - other.value)
  let mean = 0
  let chance = 0
  for (const { weight, value } of drawn) {
    mean += weight * value
    if (value > 0) chance += weight
  }
  return {
    mean,
    lower: quantileOfDraws(drawn, 0.05),
    upper: quantileOfDraws(drawn, 0.95),
    chance: Math.min(1, chance),
  }
}
