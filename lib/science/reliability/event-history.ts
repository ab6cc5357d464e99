/** 'time': watched until a day set beforehand. 'failure': watched until the last event, which is the end. */
export type Truncation = 'time' | 'failure'

export type EventSeries = { end: number; events: number[] }

/**
 * Checks the events of one repairable system, watched from `start` (0 unless given): sorted, after start, not after end.
 * With truncation 'failure' the end is the last event; an `end` that says otherwise is refused.
 * Errors: RangeError in plain words.
 */
export function checkEventSeries(
  events: readonly number[],
  { start = 0, end, truncation }: { start?: number; end?: number; truncation: Truncation },
): EventSeries {
  if (truncation !== 'time' && truncation !== 'failure')
    throw new RangeError(`truncation must be 'time' or 'failure', got ${truncation}`)
  if (!(start >= 0 && start < Infinity)) throw new RangeError(`start must be a number of 0 or more, got ${start}`)
  const sorted = [...events].sort((one, other) => one - other)
  for (const time of sorted) {
    if (!(time > start && time < Infinity))
      throw new RangeError(`an event must lie after the start (${start}), got ${time}`)
  }
  const last = sorted.at(-1)
  if (truncation === 'failure') {
    if (last === undefined) throw new RangeError('watched until the last event, but there is no event')
    if (end !== undefined && end !== last)
      throw new RangeError(`watched until the last event (${last}), but end is ${end}`)
    return { end: last, events: sorted }
  }
  if (end === undefined || !(end > start && end < Infinity))
    throw new RangeError(`end must be a number above the start, got ${end}`)
  if (last !== undefined && last > end) throw new RangeError(`an event lies after the end (${end}): ${last}`)
  return { end, events: sorted }
}
