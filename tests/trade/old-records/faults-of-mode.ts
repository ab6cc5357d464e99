import { fitWeibull } from '@/lib/science'
import { livesForPlainFit, livesOfLane, type RepeatFault, repeatFaults } from '@/lib/trade'
import type { RecordLane } from './read-records'

/** Route's plain fit over the lanes of one class × mode, then each tank held against it. */
export function faultsOfMode(lanes: readonly RecordLane[], cutoffDay: number): RepeatFault[] {
  const livesByTank = lanes.map((lane) => ({ tank: lane.tank, lives: livesOfLane(lane, { cutoffDay }).lives }))
  const { shape, scale } = fitWeibull(
    livesByTank.flatMap(({ lives }) => livesForPlainFit(lives).map((life) => life.observation)),
  )
  return repeatFaults(livesByTank, { shape, scaleDays: scale })
}
