import { type LaneLives, type Life, livesOfLane } from '@/lib/trade'
import type { DeviceLane } from './lane-events'

/** What is stored of a lane and drawn of it. Days since 1970-01-01. */
export type LaneSummary = DeviceLane & { read: LaneLives; lastLookDay: number | null; looks: number }

/**
 * Reads the lives of a lane. The cut-off is the model's, or the lane's own last event where that came later, so that the
 * stored lane depends on what happened and not on the day it was computed.
 */
export function summariseLane(lane: DeviceLane, modelCutoffDay: number): LaneSummary {
  const lastDay = lane.events.at(-1)?.day ?? modelCutoffDay
  const read = livesOfLane(lane, { cutoffDay: Math.max(modelCutoffDay, lastDay) })
  const looks = lane.events.filter((event) => event.kind === 'look' && event.asFound !== 'not_looked')
  return {
    ...lane,
    read,
    lastLookDay: looks.at(-1)?.day ?? null,
    looks: looks.length,
  }
}

/** A life as stored with its lane: Infinity becomes null at the JSON edge. */
export type StoredLife = {
  start: number
  end: number
  lower: number
  upper: number | null
  truncatedAt?: number
  event: boolean
  unknownAge?: { lower: number; upper: number | null }
  lookAges: number[]
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null)

/** Life → JSON. */
export function storeLife(life: Life): StoredLife {
  const { observation, unknownAge } = life
  return {
    start: life.startDay,
    end: life.endDay,
    lower: observation.lower,
    upper: finite(observation.upper),
    ...(observation.truncatedAt === undefined ? {} : { truncatedAt: observation.truncatedAt }),
    event: life.event,
    ...(unknownAge ? { unknownAge: { lower: unknownAge.lower, upper: finite(unknownAge.upper) } } : {}),
    lookAges: life.lookAges,
  }
}

/** JSON → the part of a life that estimates need. */
export function loadLife(stored: StoredLife): Life {
  const open = (value: number | null) => value ?? Number.POSITIVE_INFINITY
  return {
    observation: {
      lower: stored.lower,
      upper: open(stored.upper),
      ...(stored.truncatedAt === undefined ? {} : { truncatedAt: stored.truncatedAt }),
    },
    startDay: stored.start,
    endDay: stored.end,
    event: stored.event,
    ...(stored.unknownAge
      ? { unknownAge: { lower: stored.unknownAge.lower, upper: open(stored.unknownAge.upper) } }
      : {}),
    lookAges: stored.lookAges,
    from: [],
  }
}
