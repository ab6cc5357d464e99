/** What one device is likely to use within a time, reckoned as the forecast of all together is, so that the devices add up to it. Pure. */
import { demandForecast } from '@/lib/science'
import type { DuePart } from './due-parts'
import { sourceOf } from './due-parts'
import type { NextVisit } from './next-visit'

/** Runs over all devices of a part together: a page must not take longer the more devices there are. */
const RUNS_IN_ALL = 200_000
const [FEWEST_RUNS, MOST_RUNS] = [200, 4000]
/** Each device draws its own numbers, or their chance errors would add up instead of levelling out. */
const FIRST_SEED = 7_000_003

/** `isCounted`: somebody comes in that time, or the need announces itself; else nothing can be used there before the visit. */
export function likelyAt(
  due: DuePart & { nextVisit: NextVisit },
  days: number,
  place: number,
  devices: number,
): { chance: number; likely: number; isCounted: boolean } {
  const runs = Math.round(Math.min(MOST_RUNS, Math.max(FEWEST_RUNS, RUNS_IN_ALL / Math.max(1, devices))))
  const { mean, probabilities } = demandForecast([sourceOf(due, due.nextVisit.inDays)], days, FIRST_SEED + place, {
    runs,
  })
  return { chance: 1 - (probabilities[0] ?? 0), likely: mean, isCounted: isCountedIn(due, days) }
}

/** Somebody comes in that time, or the need announces itself. */
export function isCountedIn(due: DuePart & { nextVisit: NextVisit }, days: number): boolean {
  return due.isAnnounced || due.nextVisit.inDays <= days
}
