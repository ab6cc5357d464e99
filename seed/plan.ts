/** Everything the demo is made of, before anything is written. Pure: the same seed and now give the same plan. */
import { type Calendar, calendarOf } from './calendar'
import { TIME_ZONE } from './names'
import { type DemoTank, planRegister, type Register } from './plan-register'
import { type DemoVisit, planVisits } from './plan-visits'
import { tellTank, type VisitStory } from './tank-life'

export const DEMO_SEED = 20_260_317

export type DemoPlan = {
  seed: number
  calendar: Calendar
  register: Register
  visits: DemoVisit[]
  /** By the number of the tank, in order of time. */
  stories: VisitStory[][]
}

export function planDemo(now: Date, seed = DEMO_SEED): DemoPlan {
  const calendar = calendarOf(now, TIME_ZONE)
  const register = planRegister(seed, calendar)
  const visits = planVisits(seed, calendar, register.tanks)
  const visitsOf = new Map(register.tanks.map((tank): [DemoTank, DemoVisit[]] => [tank, []]))
  for (const visit of visits) visitsOf.get(visit.tank)?.push(visit)
  const stories = register.tanks.map((tank) => tellTank(seed, tank, visitsOf.get(tank) ?? []))
  return { seed, calendar, register, visits, stories }
}
