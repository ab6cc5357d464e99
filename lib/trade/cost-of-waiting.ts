/** What it costs to wait for the need instead of renewing by age: the limit K → ∞ of the visit replacement rule. */
import { survivalAt } from '@/lib/science'

/** Below this the rest of the sum is beyond the digits of a double. */
const NEGLIGIBLE_SURVIVAL = 1e-12
const MOST_VISITS = 200_000

/**
 * Long-run cost per day when nothing is renewed before it is needed: needs are found at visits every `visitEvery` days or
 * reported by the client with share r.
 * [r·cc + (1 − r)·cf + (1 − r)·h·Σ∫(S((j−1)τ) − S)] / [(1 − r)·τ·ΣS((j−1)τ) + r·∫S], sums over all visits.
 * Units: days, money as given. Errors: RangeError from `survivalAt` for a bad life.
 */
export function runToFailureCostRate(
  life: { shape: number; scale: number },
  {
    visitEvery,
    found,
    callOut,
    shareReported,
    hiddenCostPerDay,
  }: { visitEvery: number; found: number; callOut: number; shareReported: number; hiddenCostPerDay: number },
): number {
  let sum = 0
  for (let visit = 0; visit < MOST_VISITS; visit++) {
    const survival = survivalAt(life, visit * visitEvery)
    if (survival < NEGLIGIBLE_SURVIVAL) break
    sum += survival
  }
  const seenDays = visitEvery * sum
  const meanDays = meanLife(life)
  const looked = 1 - shareReported
  const cost = shareReported * callOut + looked * found + looked * hiddenCostPerDay * (seenDays - meanDays)
  return cost / (looked * seenDays + shareReported * meanDays)
}

/** ∫S over all ages by Simpson's rule in u = -ln S: scale · Γ(1 + 1/shape). */
function meanLife({ shape, scale }: { shape: number; scale: number }): number {
  return scale * Math.exp(logGammaAbove1(1 + 1 / shape))
}

/** Stirling's series after shifting the argument above 12; error below 1e-12 for x ≥ 1 (Abramowitz & Stegun 6.1.41). */
function logGammaAbove1(x: number): number {
  let shift = 0
  let z = x
  while (z < 12) {
    shift -= Math.log(z)
    z += 1
  }
  const inverse = 1 / z
  const series = inverse / 12 - inverse ** 3 / 360 + inverse ** 5 / 1260 - inverse ** 7 / 1680
  return shift + (z - 0.5) * Math.log(z) - z + 0.5 * Math.log(2 * Math.PI) + series
}
