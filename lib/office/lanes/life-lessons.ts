import type { LifeHistory } from '@/lib/science'
import type { LaneEvent, Life } from '@/lib/trade'
import type { LaneSummary } from './derive'

/** What one lane teaches about its class × mode; small, so that all lanes of a large business can be held at once. */
export type LaneLesson = {
  tankId: string
  equipmentId: string
  observations: { lower: number; upper: number; truncatedAt?: number; event: boolean }[]
  unknownAges: { lower: number; upper: number }[]
  /** Needs that ended a life, and how many of them the client told us before we looked. */
  needs: number
  reported: number
  /** Age in days at each renewal that was not for a need. */
  plannedAges: number[]
  renewals: number
}

/** Reads the lesson of a lane. */
export function lessonOf(lane: LaneSummary): LaneLesson {
  const { lives } = lane.read
  const ended = lives.filter((life) => life.event)
  return {
    tankId: lane.tankId,
    equipmentId: lane.equipmentId,
    ...livesOf(lives),
    reported: ended.filter((life) => lane.events[life.from.at(-1) ?? -1]?.kind === 'report').length,
    ...renewalsOf(lane.events),
  }
}

/** The part of a lesson that a stored lane still tells: its lives, for the posterior of its tank. */
export function lessonOfStored(lane: { tankId: string; equipmentId: string }, lives: readonly Life[]): LaneLesson {
  return {
    tankId: lane.tankId,
    equipmentId: lane.equipmentId,
    ...livesOf(lives),
    reported: 0,
    plannedAges: [],
    renewals: 0,
  }
}

function livesOf(lives: readonly Life[]): Pick<LaneLesson, 'observations' | 'unknownAges' | 'needs'> {
  return {
    observations: lives.filter((life) => !life.unknownAge).map(observationOf),
    unknownAges: lives.flatMap(({ unknownAge }) => (unknownAge ? [unknownAge] : [])),
    needs: lives.filter((life) => life.event).length,
  }
}

/** Written out field by field: a copy by `...` takes three times the memory, and a large business has a million of these. */
function observationOf({
  observation: { lower, upper, truncatedAt },
  event,
}: Life): LaneLesson['observations'][number] {
  return truncatedAt === undefined ? { lower, upper, event } : { lower, upper, truncatedAt, event }
}

function renewalsOf(events: readonly LaneEvent[]): { plannedAges: number[]; renewals: number } {
  const plannedAges: number[] = []
  let renewals = 0
  let before: number | null = null
  for (const event of events) {
    if (event.kind !== 'renewal' || event.partial || event.day === before) continue
    renewals += 1
    const isPlanned = event.reason === 'schedule' || event.reason === 'while_out'
    if (isPlanned && before !== null) plannedAges.push(event.day - before)
    before = event.day
  }
  return { plannedAges, renewals }
}

/** The lessons of one tank, or of many, as the life model takes them. */
export function historiesOf(lessons: readonly LaneLesson[]): LifeHistory[] {
  return lessons.flatMap(({ tankId, equipmentId, observations, unknownAges }) => {
    const [first, ...more] = unknownAges
    const own: LifeHistory = {
      tank: tankId,
      device: equipmentId,
      observations: observations.map(({ event: _, ...observation }) => observation),
      ...(first ? { unknownAge: first } : {}),
    }
    // A device seen anew after a pause has a second spell of unknown age: one history holds only one.
    return [own, ...more.map((unknownAge) => ({ tank: tankId, device: equipmentId, observations: [], unknownAge }))]
  })
}
