/** What was in a container on a day: as it was come upon, and as it was left. `null`: not measured. */
export type LevelRecord = { day: number; before: number | null; after: number | null }

/**
 * What was used between two measurements of a container. `at-least`: it was come upon empty, so it ran dry on some day
 * before and would have used more.
 */
export type UseInterval = { fromDay: number; toDay: number; days: number; use: number; kind: 'whole' | 'at-least' }

/** A stretch between two records that says nothing of the use, and why not. */
export type LeftOut = { fromDay: number; toDay: number; why: 'filled by somebody else' | 'not measured' }

export type LevelIntervals = { intervals: UseInterval[]; leftOut: LeftOut[] }

/**
 * The use between successive levels: what was left (after filling) minus what the next came upon (before filling). A level
 * that rose without our filling it says nothing, and is left out; so is a stretch with an end that nobody measured. What
 * was come upon at or below `emptyAt` counts as "at least this much". Records of one day are taken in the order given.
 * Units: days; level and use in any one unit. `tolerance`: how much a level may seem to rise by misreading.
 * Errors: RangeError for a figure that is no number or below 0, or days that run backwards.
 * @example intervalsOfUse([{ day: 0, before: null, after: 25 }, { day: 7, before: 11, after: 25 }], { emptyAt: 0, tolerance: 0.1 })
 * // intervals: [{ fromDay: 0, toDay: 7, days: 7, use: 14, kind: 'whole' }]
 */
export function intervalsOfUse(
  records: readonly LevelRecord[],
  { emptyAt, tolerance }: { emptyAt: number; tolerance: number },
): LevelIntervals {
  const intervals: UseInterval[] = []
  const leftOut: LeftOut[] = []
  for (const [place, record] of records.entries()) {
    const from = records[place - 1]
    checkRecord(record, from)
    if (!from || from.day === record.day) continue
    const start = from.after ?? from.before
    const [fromDay, toDay] = [from.day, record.day]
    // A container that was left empty could use nothing: this is no sign of a small use.
    if (start === null || start <= emptyAt || record.before === null)
      leftOut.push({ fromDay, toDay, why: 'not measured' })
    else if (record.before > start + tolerance) leftOut.push({ fromDay, toDay, why: 'filled by somebody else' })
    else {
      const isEmpty = record.before <= emptyAt
      const use = Math.max(0, start - (isEmpty ? emptyAt : record.before))
      intervals.push({ fromDay, toDay, days: toDay - fromDay, use, kind: isEmpty ? 'at-least' : 'whole' })
    }
  }
  return { intervals, leftOut }
}

function checkRecord({ day, before, after }: LevelRecord, last: LevelRecord | undefined): void {
  if (!Number.isInteger(day)) throw new RangeError(`a day must be a whole number, got ${day}`)
  for (const level of [before, after])
    if (level !== null && !(level >= 0 && level < Infinity))
      throw new RangeError(`a level must be a number from 0, got ${level}`)
  if (last && day < last.day)
    throw new RangeError(`levels must come in order of their days, got ${day} after ${last.day}`)
}
