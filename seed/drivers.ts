/** What in the demo makes needs come sooner, and how needs become failures. Invented; tests hold what the screens find against it. */
import type { DemoTank } from './plan-register'
import { SeededRandom } from './seeded-random'
import { demoTruth } from './truth'

/** Which tanks have which property: by their number, so that none of the demo's chance is used up. */
export const tankSurroundings = ({ number }: Pick<DemoTank, 'number'>) => ({
  isNearKitchenOrSmoke: number % 3 === 1,
  hasHardTapWater: number % 4 === 2,
  /** Bears on nothing here, so that something is there of which nobody can tell. */
  hasFurryPets: number % 5 === 3,
})

/** Lives of these modes are this many times shorter where the property holds. */
export const TRUE_DRIVERS = [
  { mode: 'led-light/dust', property: 'isNearKitchenOrSmoke', key: 'kitchen-or-smoke', timesAsFast: 2.2 },
  { mode: 'return-pump/impeller-scale', property: 'hasHardTapWater', key: 'hard-tap-water', timesAsFast: 2 },
] as const

export function drivenTimesAsFast(tank: Pick<DemoTank, 'number'>, mode: string): number {
  const driver = TRUE_DRIVERS.find((one) => one.mode === mode)
  return driver && tankSurroundings(tank)[driver.property] ? driver.timesAsFast : 1
}

/** Every so manieth client, from the first on, is one of whom the owner has said what a failure costs there. */
export const CLIENTS_WITH_COSTS = { oneIn: 4, travel: '15', goodwill: '120', animalsPerDay: '40' }

/**
 * From "needs it" to "failed": exponential with this mean, counted from a moment drawn evenly from the stretch before the visit that finds it. Only the visits told by
 * phone know it. Call-outs (`plan-visits.ts`) are failures on top of these.
 */
export const TRUE_DELAY_DAYS = 45
/** Of those that failed, the share of which the client tells us before the visit. */
const SHARE_TOLD = 0.35

/** Whether a need found on a day had failed by then, and how many days before it the client said so. Takes nothing from anybody's chance. */
export function failureOf(
  tank: DemoTank,
  storyDay: number,
  mode: string,
): { failed: boolean; toldDaysBefore: number | null } {
  const place = demoTruth.findIndex((life) => life.mode === mode)
  const random = new SeededRandom(storyDay * 100_003 + tank.number * 101 + place)
  const stretchDays = tank.everyWeeks * 7
  const since = random.uniform(0, stretchDays)
  const delay = random.weibull(TRUE_DELAY_DAYS, 1)
  const told = random.next() < SHARE_TOLD
  const failed = delay < since
  return { failed, toldDaysBefore: failed && told ? Math.max(1, Math.floor(since - delay)) : null }
}
