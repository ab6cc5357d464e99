/** Readings that wander about the tank's own level. Pure. */
import { firstVisitSince, isOnWeakSalt } from './plan-lots'
import type { DemoTank } from './plan-register'
import type { DemoVisit } from './plan-visits'
import type { SeededRandom } from './seeded-random'
import { WEAK_SALT } from './truth'

export type WaterReading = { quantity: string; value: string; unit: string }

/**
 * Which of the water's chances is told. Of two dozen lots × quantities one that is innocent is named now and then, as the rule for false discoveries allows; in this draw
 * none comes near (`tests/seed/plan.test.ts`).
 */
export const WATER_DRAW = 4

/** The falling tanks lose this much alkalinity a day over their last twelve weeks. */
const FALL_DKH_PER_DAY = 0.026
const FALL_DAYS = 84

export class WaterStory {
  private readonly level: { alkalinity: number; calcium: number; nitrate: number; pH: number; temperature: number }
  private wander = 0
  /** The last day before the weak salt shows; Infinity where it is not used. */
  private readonly weakSince: number
  private readonly lastDay: number

  constructor(
    private readonly random: SeededRandom,
    private readonly tank: DemoTank,
    visits: readonly DemoVisit[],
  ) {
    this.lastDay = visits.at(-1)?.storyDay ?? 0
    const first = isOnWeakSalt(tank) ? firstVisitSince(visits, WEAK_SALT.week) : null
    this.weakSince = first?.storyDay ?? Number.POSITIVE_INFINITY
    const isMarine = tank.profile === 'reef' || tank.profile === 'fish-only-marine'
    this.level = {
      alkalinity: random.normal(8.3, 0.3),
      calcium: random.normal(425, 8),
      nitrate: isMarine ? random.uniform(4, tank.profile === 'reef' ? 12 : 25) : random.uniform(10, 28),
      pH: isMarine ? random.normal(8.1, 0.05) : random.normal(7.1, 0.15),
      temperature: tank.profile === 'cold-water' ? random.normal(18, 0.8) : random.normal(25.2, 0.25),
    }
  }

  /** What was measured on a day (days since this week's Monday). */
  readingsOn(day: number): WaterReading[] {
    const { random } = this
    this.wander = 0.7 * this.wander + random.normal(0, 0.12)
    const { alkalinity, calcium, nitrate, pH, temperature } = this.level
    const fallingDays = this.tank.alkalinityFalls ? Math.max(0, day - (this.lastDay - FALL_DAYS)) : 0
    const weakSalt = day > this.weakSince ? WEAK_SALT.shiftDkh : 0
    const reading = (quantity: string, value: number, decimals: number, unit: string): WaterReading => ({
      quantity,
      value: Math.max(0, value).toFixed(decimals),
      unit,
    })
    const both = [
      reading('temperature', temperature + random.normal(0, 0.25), 1, '°C'),
      reading('nitrate', nitrate * (1 + this.wander * 0.4) + random.normal(0, 1), 0, 'mg/L'),
    ]
    if (this.tank.profile === 'reef')
      return [
        ...both,
        reading('salinity', random.normal(34.8, 0.3), 1, ''),
        reading('alkalinity', alkalinity + this.wander + weakSalt - fallingDays * FALL_DKH_PER_DAY, 1, 'dKH'),
        reading('calcium', calcium + random.normal(0, 6), 0, 'mg/L'),
        ...(random.next() < 0.5 ? [reading('phosphate', Math.abs(random.normal(0.05, 0.02)), 2, 'mg/L')] : []),
      ]
    if (this.tank.profile === 'fish-only-marine') return [...both, reading('salinity', random.normal(33, 0.5), 1, '')]
    return [...both, reading('pH', pH + random.normal(0, 0.08), 1, '')]
  }
}
