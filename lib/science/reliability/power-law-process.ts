import { checkEventSeries, type Truncation } from './event-history'
import { NotEstimable } from './observation'
import { logRatio } from './weibull-likelihood'

export type RepairableSystem = { start?: number; end?: number; events: readonly number[] }

export type PowerLawProcess = {
  /** Above 1: the failure rate rises; below 1: it falls. */
  shape: number
  /** M(t) = (t / scale)^shape, the expected number of events of one system by t. */
  scale: number
  /** shape · (n − 1) / n watched to a set time; shape · (n − systems − 1) / n watched to the last event. */
  shapeUnbiased: number
  /** Events per unit of time and system at the (latest) end. */
  intensityAtEnd: number
}

type Watched = { start: number; end: number; events: number[] }

/**
 * Power-law (Crow / AMSAA) non-homogeneous Poisson process by maximum likelihood, for one system (its event times) or several on one clock.
 * Solves n / shape + Σ log t = λ Σ (endᵝ log end − startᵝ log start), λ = n / Σ (endᵝ − startᵝ), scale = λ^(−1/shape); for equal ends from 0 this is n / Σ log(end / t).
 * Units: those of the times. Errors: RangeError on bad input or fewer than 2 events (3 for one system watched to its last event);
 * NotEstimable when all events lie at the ends, or when all were watched late and the rate falls faster than 1 / t.
 * Source: Crow 1974, AMSAA TR-138; MIL-HDBK-189 (1981), appendix C.
 * @example powerLawProcess([5, 40, 43, 175, 389], { end: 500, truncation: 'time' }).shape
 */
export function powerLawProcess(
  systems: readonly number[] | readonly RepairableSystem[],
  options: { end?: number; truncation: Truncation },
): PowerLawProcess {
  const watched = watchedSystems(systems, options)
  const count = watched.reduce((sum, { events }) => sum + events.length, 0)
  const spent = options.truncation === 'failure' ? watched.length + 1 : 1
  if (count <= spent) throw new RangeError(`at least ${spent + 1} events are needed, got ${count}`)
  // Times relative to the latest end, so that powers neither overflow nor vanish together.
  const latest = Math.max(...watched.map(({ end }) => end))
  const shape = solveShape(watched, count, latest)
  const exposure = watched.reduce((sum, { start, end }) => sum + (end / latest) ** shape - (start / latest) ** shape, 0)
  const perSystem = count / exposure
  const scale = latest * perSystem ** (-1 / shape)
  if (!(scale > 0 && scale < Infinity)) throw new NotEstimable('flat')
  return {
    shape,
    scale,
    shapeUnbiased: (shape * (count - spent)) / count,
    intensityAtEnd: (perSystem * shape) / latest,
  }
}

function watchedSystems(
  systems: readonly number[] | readonly RepairableSystem[],
  { end, truncation }: { end?: number; truncation: Truncation },
): Watched[] {
  const isNumber = (item: number | RepairableSystem): item is number => typeof item === 'number'
  const items: readonly (number | RepairableSystem)[] = systems
  if (items.length === 0) throw new RangeError('at least one event or system is needed')
  const numbers = items.filter(isNumber)
  if (numbers.length === items.length) return [{ start: 0, ...checkEventSeries(numbers, { end, truncation }) }]
  return items.map((item) => {
    if (isNumber(item)) throw new RangeError('give either the event times of one system or a list of systems, not both')
    const start = item.start ?? 0
    return { start, ...checkEventSeries(item.events, { start, end: item.end ?? end, truncation }) }
  })
}

/** The profile log-likelihood in the shape is concave, so its slope crosses 0 once; bracket, then bisect to the last digit. */
function solveShape(watched: readonly Watched[], count: number, latest: number): number {
  let sumLog = 0
  for (const { events } of watched) for (const time of events) sumLog += logRatio(time, latest)
  if (sumLog === 0)
    throw new NotEstimable('shape-unbounded', 'all events lie at the very end, so no trend can be estimated')
  const slope = (shape: number) => {
    let power = 0
    let powerLog = 0
    for (const { start, end } of watched) {
      const logEnd = logRatio(end, latest)
      const endPower = Math.exp(shape * logEnd)
      power += endPower
      powerLog += endPower * logEnd
      if (start > 0) {
        const logStart = logRatio(start, latest)
        const startPower = Math.exp(shape * logStart)
        power -= startPower
        powerLog -= startPower * logStart
      }
    }
    return count / shape + sumLog - (count * powerLog) / power
  }
  let high = count / -sumLog
  while (slope(high) > 0) {
    high *= 2
    if (high > 1e12)
      throw new NotEstimable('shape-unbounded', 'all events lie at the very end, so no trend can be estimated')
  }
  let low = high / 2
  while (slope(low) <= 0) {
    high = low
    low /= 2
    if (low < 1e-7) throw new NotEstimable('shape-zero', 'the rate falls faster than a power of time can follow')
  }
  for (let i = 0; i < 100; i++) {
    const middle = (low + high) / 2
    if (middle <= low || middle >= high) break
    if (slope(middle) > 0) low = middle
    else high = middle
  }
  return (low + high) / 2
}
