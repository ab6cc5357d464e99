import { checkAmount } from './check-domain'

/** `times` whole changes one after the other (one unless given), or an even flow in and out at one level. */
type Manner = { times?: number; continuous?: false } | { continuous: true; times?: undefined }

const ROUNDING = 1e-9

function checkConcentrations(concentrations: Record<string, number>): void {
  for (const [name, value] of Object.entries(concentrations)) checkAmount(value, name)
}

function checkTimes(times: number): void {
  if (!(Number.isSafeInteger(times) && times >= 1))
    throw new RangeError(`times must be a whole number from 1, got ${times}`)
}

/**
 * What a water change leaves of a concentration in a well-mixed tank: after = incoming + (before − incoming) · (1 − changed / volume)^times; an even flow: · exp(−changed / volume).
 * Units: litres, `changed` each time (with an even flow: in all); concentrations in any one unit (salinity: good to 0.1 %). Domain: volume above 0, changed from 0 and, for whole changes, at most the volume; the rest from 0.
 * Errors: RangeError outside it. Source: mass balance of a completely mixed tank.
 * @example waterChange({ volume: 100, changed: 25, times: 4, before: 40, incoming: 0 }) // 12.66
 */
export function waterChange({
  volume,
  changed,
  before,
  incoming,
  ...manner
}: { volume: number; changed: number; before: number; incoming: number } & Manner): number {
  checkAmount(volume, 'volume', 'L', { aboveZero: true })
  checkAmount(changed, 'changed', 'L')
  checkConcentrations({ before, incoming })
  if (manner.continuous) return incoming + (before - incoming) * Math.exp(-changed / volume)
  const { times = 1 } = manner
  checkTimes(times)
  if (changed > volume) throw new RangeError(`changed must be at most the volume, ${volume} L, got ${changed}`)
  return incoming + (before - incoming) * (1 - changed / volume) ** times
}

export type WaterChangeNeeded = {
  /** Litres each time; with an even flow in all. */
  changed: number
  /** How often: 0 where nothing is to be changed; with an even flow 1. */
  times: number
  /** Litres of new water in all. */
  total: number
}

/**
 * How much to change so that a concentration reaches a target: the inverse of `waterChange`. Given `times` (one unless given) or `continuous`: how much; given `changed`: how often, the first time at which the target is met or passed.
 * Units, assumptions and source: as there. Errors: RangeError outside its domain, and where the target cannot be reached: it must lie between `before` and `incoming` (at `incoming` only by one change of all the water).
 * @example waterChangeNeeded({ volume: 300, before: 40, incoming: 0, target: 10 }).changed // 225
 */
export function waterChangeNeeded({
  volume,
  before,
  incoming,
  target,
  ...manner
}: { volume: number; before: number; incoming: number; target: number } & (
  | (Manner & { changed?: undefined })
  | { changed: number; times?: undefined; continuous?: undefined }
)): WaterChangeNeeded {
  checkAmount(volume, 'volume', 'L', { aboveZero: true })
  checkConcentrations({ before, incoming, target })
  if (target === before) return { changed: 0, times: 0, total: 0 }
  const left = (target - incoming) / (before - incoming)
  if (!(left >= 0 && left < 1))
    throw new RangeError(
      `a water change cannot bring ${before} to ${target} with water of ${incoming}: the target must lie between the two`,
    )
  if (manner.changed === undefined && !manner.continuous) {
    const { times = 1 } = manner
    checkTimes(times)
    const changed = volume * (1 - left ** (1 / times))
    return { changed, times, total: changed * times }
  }
  if (manner.changed === volume) return { changed: volume, times: 1, total: volume }
  if (left === 0)
    throw new RangeError(`what is changed in parts never quite becomes like the new water; ${target} is out of reach`)
  if (manner.changed === undefined) {
    const changed = -volume * Math.log(left)
    return { changed, times: 1, total: changed }
  }
  const { changed } = manner
  checkAmount(changed, 'changed', 'L', { aboveZero: true })
  if (changed > volume) throw new RangeError(`changed must be at most the volume, ${volume} L, got ${changed}`)
  const times = Math.ceil((Math.log(left) / Math.log1p(-changed / volume)) * (1 - ROUNDING))
  return { changed, times, total: changed * times }
}
