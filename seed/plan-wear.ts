/** The invented devices whose wear is measured, and what was read on each. Pure; the same for the same seed. */
import { dayNumber } from './calendar'
import { demoId } from './demo-ids'
import type { DemoPlan } from './plan'
import type { DemoDevice, DemoTank } from './plan-register'
import type { DemoVisit } from './plan-visits'
import { SeededRandom } from './seeded-random'
import { TRUE_WEAR } from './truth'

export type WearStory = {
  tank: DemoTank
  device: DemoDevice
  mode: keyof typeof TRUE_WEAR
  quantity: string
  unit: string
  /** Whole days since 1970-01-01 on which it truly crosses. */
  crossesDay: number
  readings: { visit: DemoVisit; value: string; into: string }[]
}

/** What goes into a membrane, mg/L. */
const TAP = 280

/** One device of each kind; the purifier is a new device of the first tank. Where none is told of for long enough, it is left out. */
export function planWear(plan: DemoPlan): WearStory[] {
  const purifier = purifierOf(plan)
  return [
    falling(plan, 'dosing-pump/tube-tired', 'dosing-pump/replace-tube', 'dose-rate', 'mL/min', 0.9),
    purifier && falling(plan, 'reverse-osmosis/membrane-tired', '', 'rejection', 'mg/L', 93 / 98, purifier),
    lamp(plan),
    falling(plan, 'return-pump/impeller-scale', 'return-pump/soak-and-brush', 'flow-rate', 'L/h', 2 / 3),
  ].flatMap((story) => story ?? [])
}

/** The water purifier beside the first tank. */
export function purifierOf({ register, calendar }: DemoPlan): { tank: DemoTank; device: DemoDevice } | null {
  const tank = register.tanks[0]
  const id = demoId(calendar.now.getTime(), 'purifier')
  return tank ? { tank, device: { id, equipmentClass: 'reverse-osmosis', label: 'RO/DI unit', installedOn: '' } } : null
}

type Straight = Exclude<keyof typeof TRUE_WEAR, 'uv-steriliser/lamp-past-hours'>
type Place = { tank: DemoTank; device: DemoDevice }

function falling(
  plan: DemoPlan,
  mode: Straight,
  task: string,
  quantity: string,
  unit: string,
  share: number,
  only?: Place,
): WearStory | null {
  const { first, crossesInDays, readings, misreading } = TRUE_WEAR[mode]
  const crossesDay = dayNumber(plan.calendar.monday) + crossesInDays
  const random = new SeededRandom(plan.seed + first)
  const places = only ? [only] : placesOf(plan, mode)
  for (const { tank, device } of places) {
    const visits = visitsSince(plan, tank, lastJob(plan, tank, device, task)).slice(-3 * readings)
    const told = spreadOut(visits, readings)
    const from = told[0]
    if (told.length < readings || !from || crossesDay - from.dayNumber < 80) continue
    const loss = (first * (1 - share)) / (crossesDay - from.dayNumber)
    return {
      ...{ tank, device, mode, quantity, unit, crossesDay },
      readings: told.map((visit, place) => {
        const value =
          first - loss * (visit.dayNumber - from.dayNumber) + (place === 0 ? 0 : random.normal(0, misreading))
        if (quantity !== 'rejection') return { visit, value: value.toFixed(first < 1000 ? 1 : 0), into: '' }
        return { visit, value: (TAP * (1 - value / 100)).toFixed(1), into: String(TAP) }
      }),
    }
  }
  return null
}

/** A lamp whose hours were read since it was fitted. */
function lamp(plan: DemoPlan): WearStory | null {
  const mode = 'uv-steriliser/lamp-past-hours'
  const { hoursPerDay, readings } = TRUE_WEAR[mode]
  for (const { tank, device } of placesOf(plan, mode)) {
    const since = lastJob(plan, tank, device, 'uv-steriliser/replace-lamp')
    const told = spreadOut(visitsSince(plan, tank, since), readings)
    const crossesDay = Math.round(since + 8000 / hoursPerDay)
    const isAhead = crossesDay > dayNumber(plan.calendar.today) + 10
    if (since === 0 || told.length < readings || !isAhead) continue
    const hours = (visit: DemoVisit) => String(Math.round((visit.dayNumber - since) * hoursPerDay))
    const common = { tank, device, mode, quantity: 'lamp-hours', unit: 'h', crossesDay } as const
    return { ...common, readings: told.map((visit) => ({ visit, value: hours(visit), into: '' })) }
  }
  return null
}

function placesOf({ register }: DemoPlan, mode: string): Place[] {
  const equipmentClass = mode.slice(0, mode.indexOf('/'))
  return register.tanks
    .filter(({ number }) => number > 1)
    .flatMap((tank) =>
      tank.devices.filter((device) => device.equipmentClass === equipmentClass).map((device) => ({ tank, device })),
    )
}

/** Day of the last such work on a device; 0 where there was none. */
function lastJob({ stories, calendar }: DemoPlan, tank: DemoTank, device: DemoDevice, task: string): number {
  const done = (stories[tank.number] ?? []).filter(
    ({ visit, jobs }) =>
      visit.startsAt <= calendar.now && jobs.some((job) => job.device === device && job.task === task),
  )
  return done.at(-1)?.visit.dayNumber ?? 0
}

/** Routine visits that took place after a day, before today. */
function visitsSince({ stories, calendar }: DemoPlan, tank: DemoTank, day: number): DemoVisit[] {
  return (stories[tank.number] ?? [])
    .filter(({ visit, ending }) => ending === 'done' && visit.kind === 'routine' && visit.day < calendar.today)
    .map(({ visit }) => visit)
    .filter(({ dayNumber: on }) => on > day)
}

/** So many of them, evenly apart, the last one among them. */
function spreadOut(visits: readonly DemoVisit[], count: number): DemoVisit[] {
  if (visits.length < count) return []
  const step = (visits.length - 1) / (count - 1)
  return Array.from({ length: count }, (_, place) => visits[Math.round(place * step)]).flatMap((visit) => visit ?? [])
}
