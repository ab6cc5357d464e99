/** What was found and what had failed between visits, counted for the question how often to come. */
import type { InspectionGap } from '@/lib/science'

/** One thing that happened to a device × fault at a tank; days are running numbers. */
export type GapEvent = {
  /** Names device and fault. */
  lane: string
  day: number
  kind: 'found' | 'failed' | 'reported' | 'renewed'
}

export type CountedGap = InspectionGap & { fromDay: number; toDay: number }

/**
 * The stretches between a tank's own visits with what each brought to light. A need found is a defect; one found as failed, or reported by
 * the client before we looked, is a failure. A need that stays open counts once, until it is renewed. What came to light on a day without a
 * routine visit (a call-out) belongs to the stretch it lies in. Before the first visit and after the last nothing is counted.
 * Units: days. `visitDays` rising, each once; `events` by day, inside a day in the order in which they happened.
 */
export function gapsOfTank(visitDays: readonly number[], events: readonly GapEvent[]): CountedGap[] {
  const gaps = visitDays.slice(1).map((toDay, i): CountedGap => {
    const fromDay = visitDays[i] ?? toDay
    return { fromDay, toDay, length: toDay - fromDay, found: 0, failed: 0 }
  })
  const open = new Set<string>()
  for (const { lane, day, kind } of events) {
    if (kind === 'renewed') {
      open.delete(lane)
      continue
    }
    if (open.has(lane)) continue
    open.add(lane)
    const gap = gaps.find(({ fromDay, toDay }) => fromDay < day && day <= toDay)
    if (!gap) continue
    if (kind === 'found') gap.found += 1
    else gap.failed += 1
  }
  return gaps
}
