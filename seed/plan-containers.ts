/** The invented containers and what was in them at each visit. Pure; the same for the same seed. */
import { addDays } from '@/lib/office/frame/days'
import type { RefillKind } from '@/lib/office/refills/schema'
import { dayNumber } from './calendar'
import { demoId } from './demo-ids'
import type { DemoPlan } from './plan'
import { type DemoTank, isVisitedIn } from './plan-register'
import type { DemoVisit } from './plan-visits'
import { SeededRandom } from './seeded-random'
import { MOVED_BY_DAYS, SHORT_CONTAINERS, TRUE_CONTAINERS } from './truth'

export type DemoContainer = {
  id: string
  tank: DemoTank
  kind: RefillKind
  label: string
  unit: string
  capacity: number
  emptyAt: number
  deviceId: string
  /** At each visit, oldest first. */
  levels: { visit: DemoVisit; before: number | null; after: number }[]
}
export type DemoMove = { visit: DemoVisit; date: string }

type Kind = Pick<DemoContainer, 'kind' | 'label' | 'unit' | 'capacity' | 'emptyAt'> & { device?: string }
const kind = (slug: RefillKind, label: string, unit: string, capacity: number, emptyAt = 0, device = ''): Kind => ({
  ...{ kind: slug, label, unit, capacity, emptyAt, device },
})

const OF_REEF = [
  kind('top-up-water', 'Top-up water', 'L', 25, 1, 'auto-top-up'),
  kind('dose', 'Alkalinity', 'mL', 2000, 100, 'dosing-pump'),
]
const OF_OTHERS: Partial<Record<DemoTank['profile'], Kind[]>> = {
  planted: [kind('gas', 'CO2 cylinder', 'kg', 4.9, 2.9, 'carbon-dioxide-set')],
  'fish-only-marine': [kind('fleece', 'Fleece roll', 'm', 35, 1)],
  'freshwater-community': [kind('food', 'Flake food', 'g', 250)],
}
const VISITS_TOLD = 9
const TANKS_OF_A_KIND = 3

/** The containers of some tanks; the last two are those that will not last, and the first of these has its visit moved. */
export function planContainers(plan: DemoPlan): { containers: DemoContainer[]; moved: DemoMove | null } {
  const { tanks } = plan.register
  const chosen = (profile: DemoTank['profile']) =>
    tanks.filter((tank) => tank.profile === profile && !tank.isPlanted).slice(0, TANKS_OF_A_KIND)
  const usual = [
    ...chosen('reef').flatMap((tank) => OF_REEF.map((one) => ({ tank, one }))),
    ...(['planted', 'fish-only-marine', 'freshwater-community'] as const).flatMap((profile) =>
      chosen(profile).flatMap((tank) => (OF_OTHERS[profile] ?? []).map((one) => ({ tank, one }))),
    ),
  ]
  const containers = usual.map(({ tank, one }) => fill(plan, tank, one, TRUE_CONTAINERS.lastsTimes))
  const reefs = tanks.filter(
    (tank) => tank.profile === 'reef' && tank.client > 3 && !containers.some((c) => c.tank === tank),
  )
  // Every other week, last week and next, on whatever day of this week the demo is loaded: moved by two more weeks it is a month between visits, and nothing
  // else is booked before.
  const [late, small] = reefs.filter(
    (tank) => tank.everyWeeks === 2 && isVisitedIn(tank, 1) && wasThereLast(plan, tank),
  )
  const visit = late && nextBooked(plan, late)
  if (late) containers.push(fill(plan, late, kind('salt-water', SHORT_CONTAINERS.moved, 'L', 50), 1.6))
  if (small)
    containers.push(fill(plan, small, kind('calcium-dose', SHORT_CONTAINERS.small, 'mL', 500, 20, 'dosing-pump'), 0.92))
  return { containers, moved: visit ? { visit, date: addDays(visit.day, MOVED_BY_DAYS) } : null }
}

function nextBooked(plan: DemoPlan, tank: DemoTank): DemoVisit | undefined {
  return plan.visits.find((visit) => visit.tank === tank && visit.isBooked && visit.day > plan.calendar.today)
}

/** The visit before the one to come took place and was done: else the container were short without any move. */
function wasThereLast(plan: DemoPlan, tank: DemoTank): boolean {
  const next = nextBooked(plan, tank)
  const last = doneVisits(plan, tank).at(-1)
  return (
    next !== undefined && last !== undefined && dayNumber(next.day) - dayNumber(last.day) <= tank.everyWeeks * 7 + 2
  )
}

function doneVisits({ calendar, stories }: DemoPlan, tank: DemoTank): DemoVisit[] {
  return (stories[tank.number] ?? [])
    .filter(({ visit, ending }) => visit.startsAt <= calendar.now && visit.day < calendar.today && ending === 'done')
    .map(({ visit }) => visit)
    .filter(({ kind }) => kind === 'routine')
}

/** A container filled up at every visit, of which one filling lasts so many times as long as the visits lie apart. */
function fill(plan: DemoPlan, tank: DemoTank, one: Kind, lastsTimes: number): DemoContainer {
  const { seed, calendar } = plan
  const random = new SeededRandom(seed * 31 + tank.number * 7 + Math.round(one.capacity))
  const perDay = (one.capacity - one.emptyAt) / (tank.everyWeeks * 7 * lastsTimes)
  const done = doneVisits(plan, tank).slice(-VISITS_TOLD)
  let day = 0
  const levels = done.map((visit, place) => {
    const days = dayNumber(visit.day) - day
    day = dayNumber(visit.day)
    if (place === 0) return { visit, before: null, after: one.capacity }
    const spread = TRUE_CONTAINERS.dailyVariation / Math.sqrt(days)
    const used = perDay * days * Math.exp(random.normal(-(spread ** 2) / 2, spread))
    return { visit, before: rounded(Math.max(one.emptyAt, one.capacity - used), one.unit), after: one.capacity }
  })
  const { device = '', ...rest } = one
  const deviceId = tank.devices.find(({ equipmentClass }) => equipmentClass === device)?.id ?? ''
  return {
    ...rest,
    id: demoId(calendar.now.getTime(), `container ${tank.number} ${one.label}`),
    tank,
    deviceId,
    levels,
  }
}

/** As one reads it off: kilograms on a scale to ten grams, the rest to a half, or to ten of what is counted in hundreds. */
function rounded(value: number, unit: string): number {
  const step = { kg: 0.01, mL: 10, g: 5 }[unit] ?? 0.5
  return Number((Math.round(value / step) * step).toFixed(3))
}
