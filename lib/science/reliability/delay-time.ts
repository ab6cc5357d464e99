import { incompleteGamma, inverseIncompleteGamma } from '@/lib/science/special-functions'
import { checkCost } from './age-replacement'

export type InspectionCosts = {
  inspection: number
  /** Cost of putting a defect right when an inspection finds it. */
  defect: number
  /** Cost of a failure. */
  failure: number
  /** Time that an inspection takes out of the running time, 0 when absent. */
  downtime?: number
}

export type InspectionInterval = {
  /** Running time between inspections; Infinity: never. */
  interval: number
  /** Cost per unit of time. */
  costRate: number
  /** Share of defects that become failures before they are found. */
  shareFailing: number
}

/**
 * Share of defects that fail before the next inspection, by interval over mean delay (0 or more): b(x) = 1 − (1 − e^−x) / x with x = interval / mean delay.
 * For small x by its series x/2 − x²/6 + x³/24 − …, because the plain formula loses its digits there.
 */
export function shareFailingAt(x: number): number {
  if (x === Infinity) return 1
  if (x < 0.05) {
    let term = x / 2
    let sum = term
    for (let n = 3; n < 20; n++) {
      term *= -x / n
      sum += term
    }
    return sum
  }
  return 1 + Math.expm1(-x) / x
}

/**
 * How often to inspect when defects arise at a constant rate and turn into failures after an exponential delay; inspections are perfect.
 * Cost rate C(T) = [inspection + rate · T · (failure · b + defect · (1 − b))] / (T + downtime), b(T) = 1 − (1 − e^(−T/m)) / (T/m).
 * The best T solves rate · (failure − defect) · m · P(2, T/m) + rate · downtime · (defect + (failure − defect)(1 − e^(−T/m))) = inspection; never, when the left side stays below.
 * Units: any one of time, any one of cost (cost may itself be downtime). Errors: RangeError on bad input.
 * Source: Christer & Waller 1984, J. Oper. Res. Soc. 35: 401–406 and 975–984.
 * @example optimalInspectionInterval({ defectRate: 0.02, meanDelay: 60 }, { inspection: 40, defect: 120, failure: 600 }).interval // 25.73
 */
export function optimalInspectionInterval(
  { defectRate, meanDelay }: { defectRate: number; meanDelay: number },
  { inspection, defect, failure, downtime = 0 }: InspectionCosts,
): InspectionInterval {
  checkCost(defectRate, 'defectRate', 'above')
  checkCost(meanDelay, 'meanDelay', 'above')
  checkCost(inspection, 'inspection', 'above')
  checkCost(defect, 'defect', 'zero')
  checkCost(failure, 'failure', 'zero')
  checkCost(downtime, 'downtime', 'zero')
  const gain = failure - defect
  const resultAt = (interval: number): InspectionInterval => {
    const shareFailing = shareFailingAt(interval / meanDelay)
    if (interval === Infinity) return { interval, costRate: defectRate * failure, shareFailing }
    const cost = inspection + defectRate * interval * (failure * shareFailing + defect * (1 - shareFailing))
    return { interval, costRate: cost / (interval + downtime), shareFailing }
  }
  const never = resultAt(Infinity)
  if (gain <= 0) return never
  if (downtime === 0) {
    const ratio = inspection / (defectRate * meanDelay * gain)
    return ratio >= 1 ? never : resultAt(meanDelay * inverseIncompleteGamma(2, ratio, 'lower'))
  }
  const excess = (x: number) =>
    defectRate * gain * meanDelay * incompleteGamma(2, x).lower +
    defectRate * downtime * (defect - gain * Math.expm1(-x)) -
    inspection
  // Rises in x. Where it is above 0 from the start, even the shortest interval is too long: the model has no answer worth giving.
  if (excess(0) >= 0)
    throw new RangeError('inspections that take time would cost less than running: check the downtime and the costs')
  if (excess(Infinity) <= 0) return never
  let low = 0
  let high = 1
  while (excess(high) < 0 && high < 1e6) high *= 2
  for (let i = 0; i < 200; i++) {
    const middle = (low + high) / 2
    if (middle <= low || middle >= high) break
    if (excess(middle) > 0) high = middle
    else low = middle
  }
  const best = resultAt((meanDelay * (low + high)) / 2)
  return best.costRate < never.costRate ? best : never
}
