import { type Wear, wearBand } from '@/lib/trade'
import { bandDensity } from './band-density'
import type { LaneForChart } from './lane-views'

type Worn = Wear & { slotId: string; failureMode: string }

/**
 * Lanes with what was measured: where a path has a date, the band of the lane's future is the band of the crossing, and its
 * words stand below its name. A lane whose path has crossed calls for somebody. Others stay as they are.
 */
export function withWear(lanes: readonly LaneForChart[], worn: readonly Worn[]): LaneForChart[] {
  const byLane = new Map(worn.map((one) => [`${one.slotId} ${one.failureMode}`, one]))
  return lanes.map((lane) => {
    const wear = byLane.get(lane.id)
    if (!wear || wear.path.length === 0) return lane
    const band = bandDensity(wearBand(wear))
    return {
      ...lane,
      ...(band.length > 0 ? { band } : {}),
      ...(wear.shortWords === '' ? {} : { sub: wear.shortWords }),
      ...(wear.state === 'crossed' ? { tone: 'call' as const } : {}),
    }
  })
}
