/** The recurring events of one unit, watched on (start, end]. An event may carry a cost; a bare time counts 1. */
export type RecurrenceHistory = {
  start?: number
  end: number
  events: readonly (number | { time: number; cost: number })[]
}

export type MeanCumulativeStep = { time: number; atRisk: number; mean: number; standardError: number }

type CheckedHistory = { start: number; end: number; events: { time: number; cost: number }[] }

function checkHistories(histories: readonly RecurrenceHistory[]): CheckedHistory[] {
  if (histories.length === 0) throw new RangeError('at least one history is needed')
  return histories.map(({ start = 0, end, events }, index) => {
    const refuse = (reason: string) => new RangeError(`history ${index + 1}: ${reason}`)
    if (!(start >= 0 && start < Infinity)) throw refuse(`start must be a number of 0 or more, got ${start}`)
    if (!(end > start && end < Infinity)) throw refuse(`end must be a number above start, got ${end}`)
    const checked = events.map((event) => {
      const { time, cost } = typeof event === 'number' ? { time: event, cost: 1 } : event
      if (!(time > start && time <= end)) throw refuse(`an event must lie after start and not after end, got ${time}`)
      if (!Number.isFinite(cost)) throw refuse(`a cost must be a number, got ${cost}`)
      return { time, cost }
    })
    return { start, end, events: checked }
  })
}

/**
 * Mean cumulative function: the expected number (or cost) of events of one unit by an age, without any model. One row a time of events:
 * mean = Σ over times of (sum of events) / (units at risk). A unit is at risk after its start, up to and including its end.
 * standardError: robust (Lawless & Nadeau), √ Σ over units of [Σ over times of at-risk / n · (own events − mean events)]².
 * Errors: RangeError on bad input. Source: Nelson 1988, J. Qual. Technol. 20: 24–35; Lawless & Nadeau 1995, Technometrics 37: 158–168.
 * @example meanCumulativeFunction([{ end: 10, events: [4] }, { end: 12, events: [4, 11] }]) // mean 1 at 4, 2 at 11
 */
export function meanCumulativeFunction(histories: readonly RecurrenceHistory[]): MeanCumulativeStep[] {
  const units = checkHistories(histories)
  const byTime = new Map<number, Map<number, number>>()
  units.forEach(({ events }, unit) => {
    for (const { time, cost } of events) {
      const then = byTime.get(time) ?? new Map<number, number>()
      then.set(unit, (then.get(unit) ?? 0) + cost)
      byTime.set(time, then)
    }
  })
  // Of everybody at risk the deviation changes by the same at each time, and otherwise only by own events: it is kept as what is a unit's own
  // and what is common, so that the sum of squares needs no walk over all units.
  const own = new Float64Array(units.length)
  const arriving = units.map((_, unit) => unit).sort((one, other) => startOf(one) - startOf(other))
  const leaving = units.map((_, unit) => unit).sort((one, other) => endOf(one) - endOf(other))
  let [arrived, left] = [0, 0]
  let [common, sum, squares, squaresOfThoseWhoLeft, mean] = [0, 0, 0, 0, 0]
  return [...byTime]
    .sort(([one], [other]) => one - other)
    .map(([time, events]) => {
      for (let unit = arriving[arrived]; unit !== undefined && startOf(unit) < time; unit = arriving[++arrived])
        change(unit, -common)
      for (let unit = leaving[left]; unit !== undefined && endOf(unit) < time; unit = leaving[++left]) {
        const deviation = ownOf(unit) + common
        squaresOfThoseWhoLeft += deviation ** 2
        change(unit, -ownOf(unit))
      }
      const atRisk = arrived - left
      let total = 0
      for (const cost of events.values()) total += cost
      const average = total / atRisk
      mean += average
      for (const [unit, cost] of events) change(unit, cost / atRisk)
      common -= average / atRisk
      const variance = squaresOfThoseWhoLeft + squares + 2 * common * sum + atRisk * common ** 2
      return { time, atRisk, mean, standardError: Math.sqrt(Math.max(0, variance)) }
    })

  function startOf(unit: number): number {
    return units[unit]?.start ?? 0
  }
  function endOf(unit: number): number {
    return units[unit]?.end ?? 0
  }
  function ownOf(unit: number): number {
    return own[unit] ?? 0
  }
  function change(unit: number, by: number): void {
    const before = ownOf(unit)
    own[unit] = before + by
    sum += by
    squares += (before + by) ** 2 - before ** 2
  }
}
