import {
  type AsFound,
  type CureConfidence,
  type Depth,
  failureModes,
  findMode,
  type LaneEvent,
  type ModeRule,
  modesOf,
  type RenewalReason,
} from '@/lib/trade'
import type { DeviceRow, LaneRow } from './lane-rows'

/** A lane before its lives are read: one device × one failure mode. */
export type DeviceLane = {
  equipmentId: string
  tankId: string
  slotId: string
  equipmentClass: string
  failureMode: string
  mode: ModeRule
  events: LaneEvent[]
  /** Of a lane that nobody has looked at: the day on which the device was first seen at all. */
  inServiceSinceDay?: number
  /** Of the same: the day of its last exchange, by another fault of it that nothing else renews. */
  exchangedDay?: number
}

/** How a mode is read that only this business knows: any look counts, and nobody on site announces it. */
const OWN_MODE: ModeRule = { lookNeeded: 'running', announcesItself: false }

/** The rule of a mode: the catalogue's, or the plain one for a business's own mode. */
function modeRule(failureMode: string): ModeRule {
  return findMode(failureMode) ?? OWN_MODE
}

/**
 * The lanes of devices from the rows about them, in the order of the rows. A device that was swapped or whose date of
 * installation is known adds those events to each of its lanes.
 */
export function lanesOfDevices(devices: readonly DeviceRow[], rows: readonly LaneRow[]): DeviceLane[] {
  const deviceById = new Map(devices.map((device) => [device.id, device]))
  const lanes = rows.flatMap((row) => {
    const device = deviceById.get(row.equipmentId)
    return device ? [laneOf(device, row)] : []
  })
  return [...lanes, ...lanesNobodyLookedAt(devices, lanes)]
}

const AGE_LIMITED = failureModes.filter((mode) => mode.ageLimitWeeks !== undefined)

/** Modes that a device in service has a lane for before anybody looks: those with an age limit; all where we put it in new (rule 10). */
function modesWithoutALook({ equipmentClass, installedByUs, installedConfirmedNew, installedDay }: DeviceRow) {
  const isOurs = installedByUs && installedConfirmedNew && installedDay !== null
  return isOurs ? modesOf(equipmentClass) : AGE_LIMITED.filter((mode) => mode.equipmentClass === equipmentClass)
}

/**
 * An age limit holds whether somebody ever looked or not, and what we put in new has a plan from that day: such a device in service has a
 * lane for each of these modes, empty until then. It is at least as old as what was first seen of it.
 */
function lanesNobodyLookedAt(devices: readonly DeviceRow[], lanes: readonly DeviceLane[]): DeviceLane[] {
  const unseen = devices.flatMap((device) =>
    device.removedDay === null ? modesWithoutALook(device).map((mode) => ({ device, mode })) : [],
  )
  if (unseen.length === 0) return []
  const known = new Set(lanes.map((lane) => `${lane.equipmentId} ${lane.failureMode}`))
  const seenSince = new Map<string, number>()
  const exchangedOn = new Map<string, number>()
  for (const { equipmentId, mode, events } of lanes) {
    const first = events[0]?.day
    if (first !== undefined) seenSince.set(equipmentId, Math.min(first, seenSince.get(equipmentId) ?? first))
    // What nothing but a new device renews says when the device was new, also where records name that one fault only.
    const exchanged = mode.renewedOnlyByReplacing
      ? events.findLast((event) => event.kind === 'renewal' && !event.partial)?.day
      : undefined
    if (exchanged !== undefined)
      exchangedOn.set(equipmentId, Math.max(exchanged, exchangedOn.get(equipmentId) ?? exchanged))
  }
  return unseen.flatMap(({ device, mode }) => {
    if (known.has(`${device.id} ${mode.slug}`)) return []
    const since = seenSince.get(device.id)
    const renewed = exchangedOn.get(device.id)
    return [
      {
        ...laneOf(device, { equipmentId: device.id, failureMode: mode.slug, events: '' }),
        ...(since === undefined ? {} : { inServiceSinceDay: since }),
        ...(renewed === undefined ? {} : { exchangedDay: renewed }),
      },
    ]
  })
}

function laneOf(device: DeviceRow, { failureMode, events }: LaneRow): DeviceLane {
  const { id: equipmentId, tankId, slotId, equipmentClass } = device
  const lane: DeviceLane = {
    equipmentId,
    tankId,
    slotId,
    equipmentClass,
    failureMode,
    mode: modeRule(failureMode),
    events: eventsOf(events),
  }
  addDeviceEvents(lane, device)
  return lane
}

/** The events in the text of a lane row. */
function eventsOf(text: string): LaneEvent[] {
  const events: LaneEvent[] = []
  if (text === '') return events
  let lastDay: number | undefined
  for (const part of text.split(' ')) {
    const colon = part.indexOf(':')
    const day = Number(part.slice(0, colon))
    const event = makerOf(part.slice(colon + 1))(day)
    // A mode that a task renews but nobody looked at: its life ends at its last ok (rule 8).
    if (event.kind === 'renewal' && lastDay !== day)
      events.push({ kind: 'look', day, asFound: 'not_looked', depth: 'running' })
    events.push(event)
    lastDay = day
  }
  return events
}

type EventMaker = (day: number) => LaneEvent

/** Nearly all of millions of events are one of some dozens but for their day: the words of each are read once. */
const makers = new Map<string, EventMaker>()

function makerOf(fields: string): EventMaker {
  const known = makers.get(fields)
  if (known) return known
  const maker = readFields(fields)
  // A report carries a day of its own: there is no end of them.
  if (!fields.startsWith('report')) makers.set(fields, maker)
  return maker
}

/** The database holds these texts to their known values by its own checks. */
function readFields(fields: string): EventMaker {
  const [kind, first, second, third, fourth] = fields.split(':')
  if (kind === 'report') {
    const sure = first === 'sure'
    if (second === undefined) return (day) => ({ kind, day, sure })
    const reportedDay = Number(second)
    return (day) => ({ kind, day, sure, reportedDay })
  }
  if (kind === 'renewal') {
    const reason = first as RenewalReason
    return second === 'partial' ? (day) => ({ kind, day, reason, partial: true }) : (day) => ({ kind, day, reason })
  }
  const asFound = first as AsFound
  const depth = second as Depth
  const source = third === 'imported' ? 'imported' : 'visit'
  if (!fourth) return (day) => ({ kind: 'look', day, asFound, depth, source })
  const cureConfidence = fourth as CureConfidence
  return (day) => ({ kind: 'look', day, asFound, depth, source, cureConfidence })
}

/** Installed before everything else of its day, removed after everything: both belong to the device, not to a visit. */
function addDeviceEvents(lane: DeviceLane, device: DeviceRow): void {
  const { installedDay, removedDay } = device
  if (installedDay !== null) {
    const place = lane.events.findIndex((event) => event.day >= installedDay)
    const at = place === -1 ? lane.events.length : place
    const { installedByUs: byUs, installedConfirmedNew: confirmed } = device
    lane.events.splice(at, 0, { kind: 'installed', day: installedDay, byUs, confirmed })
  }
  if (removedDay !== null) {
    const becauseOfMode = device.removedBecauseMode === lane.failureMode
    lane.events.push({ kind: 'removed', day: removedDay, becauseOfMode })
  }
}
