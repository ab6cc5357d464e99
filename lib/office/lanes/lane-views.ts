import { findClass, findMode } from '@/lib/trade'
import { type BandPoint, bandDensity } from './band-density'
import { isoOfDay } from './day-numbers'
import { taskName } from './due-items'
import type { LaneMark } from './lane-marks'
import { storedReasonSchema } from './stored-reason'

/** What the lanes chart takes; the component has the same shape. */
export type LaneForChart = {
  id: string
  label: string
  sub?: string
  href?: string
  marks: { date: string; kind: 'looked' | 'found' | 'renewed' | 'reported'; words: string; href?: string }[]
  band?: BandPoint[]
  due?: { date: string; words: string }
  tone?: 'call'
  runningSince?: string
}

export type StoredLane = {
  equipmentId: string
  slotId: string
  failureMode: string
  equipmentClass: string
  marks: LaneMark[]
  runningSinceOn: Date | null
}
export type StoredDue = {
  equipmentId: string
  careTask: string
  failureMode: string
  dueOn: Date | null
  reason: unknown
}

const WORDS = { looked: 'looked, fine', found: 'found', renewed: 'renewed', reported: 'reported' } as const

/** Name of a mode for a person: by `ownNames` (trade words of the country, the business's own), else the catalogue's. */
export function modeWords(failureMode: string, ownNames: ReadonlyMap<string, string> = new Map()): string {
  return ownNames.get(failureMode) ?? findMode(failureMode)?.name ?? failureMode.replace(/^own:/, '')
}

/** Name of a class for a person. */
export function classWords(equipmentClass: string, ownNames: ReadonlyMap<string, string> = new Map()): string {
  return ownNames.get(equipmentClass) ?? findClass(equipmentClass)?.name ?? equipmentClass.replace(/^own:/, '')
}

/**
 * One lane per slot and mode: the lane follows the slot, so the marks of a device and of those before it stand in one
 * line. The band and the due date are those of the device that is there now.
 */
export function laneViews(
  lanes: readonly StoredLane[],
  due: readonly StoredDue[],
  label: (lane: StoredLane) => { label: string; sub?: string },
  laneHref?: (lane: StoredLane, careTask: string) => string,
): LaneForChart[] {
  const bySlot = new Map<string, StoredLane[]>()
  for (const lane of lanes) {
    const key = `${lane.slotId} ${lane.failureMode}`
    bySlot.set(key, [...(bySlot.get(key) ?? []), lane])
  }
  return [...bySlot.entries()].map(([key, together]): LaneForChart => {
    const itemOf = (lane: StoredLane) =>
      due.find((one) => one.equipmentId === lane.equipmentId && one.failureMode === lane.failureMode)
    // Only the device that is there now has something due; without that the one that was last in sight is taken for it.
    const newest = together.find(itemOf) ?? together.reduce((a, b) => (lastDay(b) >= lastDay(a) ? b : a))
    const marks = together
      .flatMap((lane) => lane.marks)
      .sort((a, b) => a.day - b.day)
      .map(({ day, kind, visitId }) => ({
        date: isoOfDay(day),
        kind,
        words: WORDS[kind],
        ...(visitId ? { href: `/visits/${visitId}` } : {}),
      }))
    const item = itemOf(newest)
    const reason = item ? storedReasonSchema.parse(item.reason) : undefined
    const band = reason ? bandDensity(reason.band) : []
    return {
      id: key,
      ...label(newest),
      marks,
      ...(band.length > 0 ? { band } : {}),
      ...(item?.dueOn ? { due: { date: item.dueOn.toISOString().slice(0, 10), words: taskName(item.careTask) } } : {}),
      ...(item && laneHref ? { href: laneHref(newest, item.careTask) } : {}),
      ...(reason?.rule === 'need-open' ? { tone: 'call' as const } : {}),
      ...(newest.runningSinceOn ? { runningSince: newest.runningSinceOn.toISOString().slice(0, 10) } : {}),
    }
  })
}

function lastDay(lane: StoredLane): number {
  return lane.marks.at(-1)?.day ?? 0
}
