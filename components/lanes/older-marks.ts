import type { LaneMark } from './lane-view'

/** So many of the newest marks of a lane can be opened and have words of their own: looks that found nothing, and all the others. */
const LOOKS_OPENED = 2
const OTHERS_OPENED = 6

/** What is older than the newest marks of a lane: it is drawn, but without words. */
export function olderMarks(marks: readonly LaneMark[]): ReadonlySet<LaneMark> {
  const byDate = [...marks].sort((a, b) => (a.date < b.date ? -1 : 1))
  const isLook = ({ kind }: LaneMark) => kind === 'looked'
  return new Set([
    ...byDate.filter(isLook).slice(0, -LOOKS_OPENED),
    ...byDate.filter((mark) => !isLook(mark)).slice(0, -OTHERS_OPENED),
  ])
}
