import type { Observation } from '@/lib/science'
import { checkObservations } from '@/lib/science/reliability/observation'

export type SurvivalStep = { time: number; atRisk: number; events: number; survival: number; standardError: number }
/** Event times in order, with the weight at risk just before each and the weight that ended there. */
function riskTable(observations: readonly Observation[]): { time: number; atRisk: number; events: number }[] {
  const checked = checkObservations(observations)
  const at = new Map<number, { events: number; leaving: number; entering: number }>()
  const change = (time: number) => {
    const found = at.get(time) ?? { events: 0, leaving: 0, entering: 0 }
    at.set(time, found)
    return found
  }
  checked.forEach(({ lower, upper, truncatedAt, weight }, index) => {
    if (upper !== Infinity && upper !== lower) {
      throw new RangeError(
        `observation ${index + 1} (${lower} to ${upper}) is an interval; this estimate takes exact and right-censored lives only, turnbull takes intervals`,
      )
    }
    change(truncatedAt).entering += weight
    const leaving = change(lower)
    leaving.leaving += weight
    if (upper === lower) leaving.events += weight
  })
  const table: { time: number; atRisk: number; events: number }[] = []
  let atRisk = 0
  for (const [time, { events, leaving, entering }] of [...at].sort(([a], [b]) => a - b)) {
    if (events > 0) table.push({ time, atRisk, events })
    // Censored at an event time: still at risk there. Entering at an event time: at risk only afterwards.
    atRisk += entering - leaving
  }
  return table
}

/**
 * Kaplan–Meier estimate with left truncation: S(t) = Π (1 − dᵢ / nᵢ) over event times up to t, one row an event time.
 * Events come before censorings at tied times; a life is at risk on (truncatedAt, its end].
 * standardError: Greenwood, S · √Σ d / (n (n − d)); 0 where S is 0, where it is undefined.
 * Errors: RangeError on intervals or bad input. Source: Kaplan & Meier 1958, JASA 53: 457–481.
 * @example kaplanMeier([{ lower: 6, upper: 6 }, { lower: 9, upper: Infinity }])[0] // survival 0.5
 */
export function kaplanMeier(observations: readonly Observation[]): SurvivalStep[] {
  let survival = 1
  let sum = 0
  return riskTable(observations).map(({ time, atRisk, events }) => {
    const left = atRisk - events
    // Weights that are fractions leave rounding crumbs where everybody at risk has ended.
    const nobodyLeft = left <= 1e-12 * atRisk
    survival *= nobodyLeft ? 0 : left / atRisk
    sum += nobodyLeft ? 0 : events / (atRisk * left)
    return { time, atRisk, events, survival, standardError: survival === 0 ? 0 : survival * Math.sqrt(sum) }
  })
}
