/** The needs behind a repeat fault, and which of them its count holds. Pure. */
import { isoOfDay } from '../lanes/day-numbers'
import type { LaneMark } from '../lanes/lane-marks'

/** What ended a life of this fault, or was found beside. `renewed`: put right for its condition, or taken out for it, without a finding of its own. */
export type NeedRow = {
  date: string
  kind: 'found' | 'reported' | 'renewed'
  visitId: string | null
  /** Why it is not in the count; null: it is. */
  leftOut: 'age-unknown' | 'still-open' | 'not-cured' | 'nothing-before' | null
}

type Life = { end: number; event: boolean; unknownAge?: unknown }
export type LaneWithPast = { lives: readonly Life[]; marks: readonly LaneMark[] }

/**
 * One row for each need of these lanes, newest first. The rows in the count are those whose life is counted: of known age, each once. What was found again while
 * open, or before the cure had held, belongs to the need before it.
 */
export function needRows(lanes: readonly LaneWithPast[]): NeedRow[] {
  return lanes
    .flatMap(rowsOf)
    .sort((one, other) => other.day - one.day)
    .map(({ day, ...row }) => ({ date: isoOfDay(day), ...row }))
}

type Row = Omit<NeedRow, 'date'> & { day: number }

function rowsOf({ lives, marks }: LaneWithPast): Row[] {
  const ended = lives.filter(({ event }) => event)
  const used = new Set<Life>()
  let last: 'nothing' | 'need' | 'renewed' | 'fine' = 'nothing'
  let hadNeed = false
  const rows = marks.flatMap(({ day, kind, visitId }): Row[] => {
    if (kind === 'renewed' || kind === 'looked') {
      if (kind === 'renewed') last = 'renewed'
      else if (last !== 'need') last = 'fine'
      return []
    }
    const life = ended.find((one) => one.end === day && !used.has(one))
    if (life) used.add(life)
    const leftOut = life
      ? life.unknownAge
        ? 'age-unknown'
        : null
      : last === 'need'
        ? 'still-open'
        : hadNeed && last === 'renewed'
          ? 'not-cured'
          : 'nothing-before'
    last = 'need'
    hadNeed = true
    return [{ day, kind, visitId, leftOut }]
  })
  const silent = ended.filter((life) => !used.has(life))
  return [
    ...rows,
    ...silent.map(({ end, unknownAge }): Row => {
      const visitId = marks.find((mark) => mark.kind === 'renewed' && mark.day === end)?.visitId ?? null
      return { day: end, kind: 'renewed', visitId, leftOut: unknownAge ? 'age-unknown' : null }
    }),
  ]
}
