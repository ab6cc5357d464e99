import { type Depth, findMode, type LaneEvent, type ModeRule, type RenewalReason } from '@/lib/trade'
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
  /** The visit behind each event, in the same order. */
  visitIds: (string | null)[]
}

/** How a mode is read that only this business knows: any look counts, and nobody on site announces it. */
const OWN_MODE: ModeRule = { lookNeeded: 'running', announcesItself: false }

/** The rule of a mode: the catalogue's, or the plain one for a business's own mode. */
export function modeRule(failureMode: string): ModeRule {
  return findMode(failureMode) ?? OWN_MODE
}

/**
 * The lanes of devices from the rows about them. `rows` must come in the order of `readLaneRows`. A device that was swapped
 * or whose date of installation is known adds those events to each of its lanes.
 */
export function lanesOfDevices(devices: readonly DeviceRow[], rows: readonly LaneRow[]): DeviceLane[] {
  const deviceById = new Map(devices.map((device) => [device.id, device]))
  const lanes = new Map<string, DeviceLane>()
  for (const row of rows) {
    const device = deviceById.get(row.equipmentId)
    if (!device) continue
    const key = `${row.equipmentId} ${row.failureMode}`
    let lane = lanes.get(key)
    if (!lane) {
      lane = emptyLane(device, row.failureMode)
      lanes.set(key, lane)
    }
    addRow(lane, row)
  }
  for (const lane of lanes.values()) {
    const device = deviceById.get(lane.equipmentId)
    if (device) addDeviceEvents(lane, device)
  }
  return [...lanes.values()]
}

function emptyLane(device: DeviceRow, failureMode: string): DeviceLane {
  const { id: equipmentId, tankId, slotId, equipmentClass } = device
  return {
    equipmentId,
    tankId,
    slotId,
    equipmentClass,
    failureMode,
    mode: modeRule(failureMode),
    events: [],
    visitIds: [],
  }
}

function addRow(lane: DeviceLane, row: LaneRow): void {
  const last = lane.events.at(-1)
  // A mode that a task renews but nobody looked at: its life ends at its last ok (rule 8).
  if (row.kind === 'renewal' && last?.day !== row.day) {
    lane.events.push({ kind: 'look', day: row.day, asFound: 'not_looked', depth: 'running' })
    lane.visitIds.push(row.visitId)
  }
  lane.events.push(eventOf(row))
  lane.visitIds.push(row.visitId)
}

/** The database holds these texts to their known values by its own checks. */
function eventOf(row: LaneRow): LaneEvent {
  const { day } = row
  if (row.kind === 'report') {
    return {
      kind: 'report',
      day,
      sure: row.sure ?? false,
      ...(row.reportedDay === null ? {} : { reportedDay: row.reportedDay }),
    }
  }
  if (row.kind === 'renewal') {
    return { kind: 'renewal', day, reason: row.reason as RenewalReason, ...(row.isPartial ? { partial: true } : {}) }
  }
  return {
    kind: 'look',
    day,
    asFound: row.asFound as 'ok' | 'needs_it' | 'failed' | 'not_looked',
    depth: row.depth as Depth,
    source: row.imported ? 'imported' : 'visit',
    ...(row.cureConfidence ? { cureConfidence: row.cureConfidence as 'sure' | 'likely' | 'not_sure' } : {}),
  }
}

/** Installed before everything else of its day, removed after everything: both belong to the device, not to a visit. */
function addDeviceEvents(lane: DeviceLane, device: DeviceRow): void {
  const { installedDay, removedDay } = device
  if (installedDay !== null) {
    const place = lane.events.findIndex((event) => event.day >= installedDay)
    const at = place === -1 ? lane.events.length : place
    const { installedByUs: byUs, installedConfirmedNew: confirmed } = device
    lane.events.splice(at, 0, { kind: 'installed', day: installedDay, byUs, confirmed })
    lane.visitIds.splice(at, 0, null)
  }
  if (removedDay !== null) {
    const becauseOfMode = device.removedBecauseMode === lane.failureMode
    lane.events.push({ kind: 'removed', day: removedDay, becauseOfMode })
    lane.visitIds.push(null)
  }
}
