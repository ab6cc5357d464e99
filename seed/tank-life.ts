/** What happens in one tank between visits, and what a technician finds and does there. Pure; every tank has its own chance. */
import { drivenTimesAsFast } from './drivers'
import { firstVisitSince } from './plan-lots'
import type { DemoDevice, DemoTank } from './plan-register'
import type { DemoVisit } from './plan-visits'
import { SeededRandom } from './seeded-random'
import {
  demoTruth,
  LOW_THRESHOLD,
  PLANTED_MODE,
  PLANTED_TIMES_AS_FAST,
  REMEDIED,
  RENEWED_TOGETHER,
  type TrueLife,
} from './truth'
import { WATER_DRAW, type WaterReading, WaterStory } from './water-story'

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

/** Every lane has its own chance, and so has the water: what is changed of one leaves the story of all others as it was. */
type Lane = { device: DemoDevice; life: TrueLife; renewedDay: number; needDay: number; chance: SeededRandom }

/** The stories of a tank's visits, in order of time. Visits still to come are told as they would go. */
export function tellTank(seed: number, tank: DemoTank, visits: readonly DemoVisit[]): VisitStory[] {
  const random = new SeededRandom(seed * 7919 + tank.number)
  const first = visits[0]?.storyDay ?? 0
  const remedy = tank.isPlanted && tank.number === REMEDIED.tankNumber ? firstVisitSince(visits, REMEDIED.week) : null
  const draw = (life: TrueLife, day: number, chance: SeededRandom) =>
    chance.weibull(
      life.scaleDays / (timesAsFast(tank, life, remedy, day) * drivenTimesAsFast(tank, life.mode)),
      life.shape,
    )
  const lanes = tank.devices.flatMap((device, place) =>
    demoTruth
      .filter((life) => life.equipmentClass === device.equipmentClass)
      .map((life): Lane => {
        const chance = new SeededRandom(seed * 104_729 + tank.number * 7919 + place * 613 + demoTruth.indexOf(life))
        const age = chance.uniform(0, 0.7) * life.scaleDays
        return { device, life, chance, renewedDay: first - age, needDay: first - age + draw(life, first, chance) }
      }),
  )
  const water = new WaterStory(new SeededRandom((seed + WATER_DRAW) * 15_485_863 + tank.number), tank, visits)
  return visits.map((visit) => tellVisit(random, { tank, lanes, water, draw, remedy }, visit))
}

function timesAsFast(tank: DemoTank, { mode }: TrueLife, remedy: DemoVisit | null, day: number): number {
  if (!tank.isPlanted || mode !== PLANTED_MODE) return 1
  if (remedy === null) return PLANTED_TIMES_AS_FAST
  return day >= remedy.storyDay ? REMEDIED.timesAsFastSince : REMEDIED.timesAsFast
}

type Around = {
  tank: DemoTank
  lanes: readonly Lane[]
  water: WaterStory
  /** A life that begins on a day. */
  draw: (life: TrueLife, day: number, chance: SeededRandom) => number
  /** The visit at which the screen was put in. */
  remedy: DemoVisit | null
}

function tellVisit(random: SeededRandom, { tank, lanes, water, draw, remedy }: Around, visit: DemoVisit): VisitStory {
  const day = visit.storyDay
  const ending = endingOf(random, visit)
  const luck = random.next()
  const readings = water.readingsOn(day)
  const story: VisitStory = { visit, ending, looks: [], jobs: [], open: [], readings, luck }
  // Nobody got in: nothing was seen. A call-out is for one thing, and its own words tell it.
  if (ending === 'no_access') return { ...story, readings: [] }
  if (visit.kind === 'call_out') return { ...story, readings: [] }
  const seen = new Map<string, boolean>()
  const isSeen = ({ device, life, chance }: Lane) => {
    const key = `${device.id} ${life.seenWith}`
    const known = seen.get(key) ?? chance.next() < life.look
    seen.set(key, known)
    return known
  }
  const isPlanned = ({ life, renewedDay }: Lane) =>
    (life.plannedDays > 0 && day - renewedDay >= life.plannedDays) || (visit === remedy && life.mode === PLANTED_MODE)
  // Whoever stands in with a lower threshold says "needs it" before its time.
  const isEarly = visit.technician === LOW_THRESHOLD.technician && visit.technician !== tank.technician
  const looksBad = ({ life, renewedDay, needDay }: Lane) =>
    day >= (isEarly && life.mode !== PLANTED_MODE ? renewedDay + LOW_THRESHOLD.share * (needDay - renewedDay) : needDay)
  const looked = lanes.filter((lane) => {
    return isSeen(lane) || isPlanned(lane)
  })
  const told = new Set<Lane>()
  for (const lane of looked) {
    if (told.has(lane)) continue
    const { device, life } = lane
    const isBad = looksBad(lane)
    if (!isBad && !isPlanned(lane)) continue
    const postponed = isBad && lane.chance.next() < 0.04
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
      looks: renewed.map((other) => ({ device, life: other.life, isBad: looksBad(other) })),
    })
    for (const other of renewed) {
      told.add(other)
      other.renewedDay = day
      other.needDay = day + draw(other.life, day, other.chance)
    }
  }
  for (const lane of looked)
    if (!told.has(lane)) story.looks.push({ device: lane.device, life: lane.life, isBad: false })
  return story
}

function endingOf(random: SeededRandom, { kind, isOld, week, tank }: DemoVisit): VisitStory['ending'] {
  const draw = random.next()
  if (isOld || kind === 'call_out') return 'done'
  const hasSkimmer = tank.devices.some(({ equipmentClass }) => equipmentClass === 'protein-skimmer')
  if (week === -1 && hasSkimmer && tank.number % 29 === LEFT_LAST_WEEK) return 'left_early'
  if (week === -1 && tank.number % 31 === CLOSED_LAST_WEEK) return 'no_access'
  if (draw < 0.012) return 'no_access'
  if (draw < 0.022) return 'cut_short'
  // What is left off is the skimmer.
  return draw < 0.028 && hasSkimmer ? 'left_early' : 'done'
}

/** Tanks (by their number) at which last week somebody was called away, and at which nobody let us in. */
const LEFT_LAST_WEEK = 5
const CLOSED_LAST_WEEK = 7
