import 'server-only'
import type { Sql } from '@/lib/platform/db/sql'
import type { DeviceRow } from './lane-rows'
import { type LaneLesson, lessonOf } from './life-lessons'
import { fitPooled, type PooledFit } from './life-models'
import { pairKey } from './pair-key'
import { lanesOf, streamParts } from './stream-lanes'

/** Fits every class × mode from all lives of these parts of a business up to `todayDay` (days since 1970-01-01), in the order of their keys. */
export async function fitBusiness(
  read: Sql,
  businessId: string,
  parts: DeviceRow[][],
  todayDay: number,
): Promise<PooledFit[]> {
  const lessons = new Map<string, { equipmentClass: string; failureMode: string; of: LaneLesson[] }>()
  for await (const part of streamParts(read, businessId, parts)) {
    for (const lane of lanesOf(part, todayDay)) {
      // An age limit makes lanes that nobody has looked at: they teach nothing.
      if (lane.events.every((event) => event.kind === 'installed')) continue
      const { equipmentClass, failureMode } = lane
      const known = lessons.get(pairKey(lane))
      if (known) known.of.push(lessonOf(lane))
      else lessons.set(pairKey(lane), { equipmentClass, failureMode, of: [lessonOf(lane)] })
    }
  }
  return [...lessons.values()].map(({ of, ...pair }) => fitPooled(pair, of))
}
