/** What happens in one tank between visits, and what a technician finds and does there. Pure; every tank has its own chance. */
import type { DemoDevice, DemoTank } from './plan-register'
import type { DemoVisit } from './plan-visits'
import { SeededRandom } from './seeded-random'
import { demoTruth, PLANTED_MODE, PLANTED_TIMES_AS_FAST, RENEWED_TOGETHER, type TrueLife } from './truth'
import { type WaterReading, WaterStory } from './water-story'

export type Looked = { device: DemoDevice; life: TrueLife; isBad: boolean }
/** A piece of work, with what was looked at for it first. */
export type Job = { device: DemoDevice; task: string; looks: Looked[] }
/** `open`: found and left for the next time, because the part was not on the van. */
export type VisitStory = {
  visit: DemoVisit
  ending: 'done' | 'no_access' | 'cut_short' | 'left_early'
  looks: Looked[]
  jobs: Job[]
  open: Looked[]
  readings: WaterReading[]
  /** Drawn for words, promises and the like. */
  luck: number
}

type Lane = { device: DemoDevice; life: TrueLife; renewedDay: number; needDay: number }

/** The stories of a tank's visits, in order of time. Visits still to come are told as they would go. */
export function tellTank(seed: number, tank: DemoTank, visits: readonly DemoVisit[]): VisitStory[] {
  const random = new SeededRandom(seed * 7919 + tank.number)
  const first = visits[0]?.dayNumber ?? 0
  const lanes = tank.devices.flatMap((device) =>
    demoTruth
      .filter((life) => life.equipmentClass === device.equipmentClass)
      .map((life): Lane => {
        const age = random.uniform(0, 0.7) * life.scaleDays
        return { device, life, renewedDay: first - age, needDay: first - age + drawLife(random, tank, life) }
      }),
  )
  const water = new WaterStory(random, tank, visits.at(-1)?.dayNumber ?? 0)
  return visits.map((visit) => tellVisit(random, tank, lanes, water, visit))
}

function drawLife(random: SeededRandom, tank: DemoTank, { mode, scaleDays, shape }: TrueLife): number {
  const timesAsFast = tank.isPlanted && mode === PLANTED_MODE ? PLANTED_TIMES_AS_FAST : 1
  return random.weibull(scaleDays / timesAsFast, shape)
}

function tellVisit(
  random: SeededRandom,
  tank: DemoTank,
  lanes: readonly Lane[],
  water: WaterStory,
  visit: DemoVisit,
): VisitStory {
  const day = visit.dayNumber
  const ending = endingOf(random, visit)
  const luck = random.next()
  const readings = water.readingsOn(random, day)
  const story: VisitStory = { visit, ending, looks: [], jobs: [], open: [], readings, luck }
  // Nobody got in: nothing was seen. A call-out is for one thing, and its own words tell it.
  if (ending === 'no_access') return { ...story, readings: [] }
  if (visit.kind === 'call_out') return { ...story, readings: [] }
  const seen = new Map<string, boolean>()
  const isSeen = ({ device, life }: Lane) => {
    const key = `${device.id} ${life.seenWith}`
    const known = seen.get(key) ?? random.next() < life.look
    seen.set(key, known)
    return known
  }
  const looked = lanes.filter((lane) => {
    const planned = lane.life.plannedDays > 0 && day - lane.renewedDay >= lane.life.plannedDays
    return isSeen(lane) || planned
  })
  const told = new Set<Lane>()
  for (const lane of looked) {
    if (told.has(lane)) continue
    const { device, life } = lane
    const isBad = day >= lane.needDay
    const planned = life.plannedDays > 0 && day - lane.renewedDay >= life.plannedDays
    if (!isBad && !planned) continue
    const postponed = isBad && random.next() < 0.04
    if (postponed) {
      story.open.push({ device, life, isBad })
      told.add(lane)
      continue
    }
    const together = RENEWED_TOGETHER[life.task] ?? [life.mode]
    const renewed = lanes.filter((other) => other.device === device && together.includes(other.life.mode))
    story.jobs.push({
      device,
      task: life.task,
      looks: renewed.map((other) => ({ device, life: other.life, isBad: day >= other.needDay })),
    })
    for (const other of renewed) {
      told.add(other)
      other.renewedDay = day
      other.needDay = day + drawLife(random, tank, other.life)
    }
  }
  for (const lane of looked)
    if (!told.has(lane)) story.looks.push({ device: lane.device, life: lane.life, isBad: false })
  return story
}

function endingOf(random: SeededRandom, { kind, isOld, week, tank }: DemoVisit): VisitStory['ending'] {
  const draw = random.next()
  if (isOld || kind === 'call_out') return 'done'
  if (week === -1 && tank.number % 17 === 5) return 'left_early'
  if (week === -1 && tank.number % 19 === 7) return 'no_access'
  if (draw < 0.012) return 'no_access'
  if (draw < 0.022) return 'cut_short'
  return draw < 0.028 ? 'left_early' : 'done'
}
