import 'server-only'
import type { Sql } from '@/lib/platform/db/sql'
import { type LaneSummary, summariseLane } from './derive'
import { lanesOfDevices } from './lane-events'
import { type DeviceRow, type LaneRow, readDevices, readLaneRows } from './lane-rows'

/** Tanks read at a time: bounds memory however large the business is. */
const TANKS_AT_A_TIME = 250

/** Some whole tanks: their devices, and what happened to them. */
export type TankRows = { devices: DeviceRow[]; rows: LaneRow[] }

/** Lanes from rows, their lives read. */
export function lanesOf({ devices, rows }: TankRows, modelCutoffDay: number): LaneSummary[] {
  return lanesOfDevices(devices, rows).map((lane) => summariseLane(lane, modelCutoffDay))
}

/**
 * Devices of a whole business in parts of some hundred whole tanks, in a fixed order; archived tanks too, for their history
 * counts.
 */
export async function partsOfBusiness(sql: Sql, businessId: string): Promise<DeviceRow[][]> {
  const parts: DeviceRow[][] = []
  let tanks = 0
  let lastTank: string | undefined
  for (const device of await readDevices(sql, businessId, 'all')) {
    if (device.tankId !== lastTank) {
      if (tanks % TANKS_AT_A_TIME === 0) parts.push([])
      tanks += 1
      lastTank = device.tankId
    }
    parts.at(-1)?.push(device)
  }
  return parts
}

/** Part by part what happened; the database gathers the next part while the last one is worked on. */
export async function* streamParts(sql: Sql, businessId: string, parts: DeviceRow[][]): AsyncGenerator<TankRows> {
  const ask = (devices: DeviceRow[] | undefined) => {
    const rows = devices && readLaneRows(sql, businessId, devices)
    rows?.catch(() => undefined) // it is awaited below, which throws; until then nobody listens
    return rows
  }
  let asked = ask(parts[0])
  try {
    for (const [index, devices] of parts.entries()) {
      const rows = (await asked) ?? []
      asked = ask(parts[index + 1])
      yield { devices, rows }
    }
  } finally {
    await asked?.catch(() => undefined) // whoever stopped early must find the connection at rest
  }
}
