/**
 * A tank's needs by day beside what a tank like the others would have shown on that day. The expectation comes only with a look,
 * so that looking more often after a date does not look like a change.
 */
import { type PoissonRateRatio, poissonRateRatio } from '@/lib/science'
import { checkRouteModel, expectedAtLooks, type RouteModel } from './expected-at-looks'
import type { Life } from './lives/types'

/** What the looks of one day found and would have found. `day`: days since 1970-01-01. */
export type FaultCell = { day: number; count: number; expected: number }

/**
 * The looks of a tank × mode by day, in order. The sums over all days are those of `countFaults`: lives of unknown age count on neither
 * side. A need stands on the day on which it came to light.
 * @throws RangeError on a model outside its domain.
 */
export function faultCells(lives: readonly Life[], model: RouteModel): FaultCell[] {
  checkRouteModel(model)
  const byDay = new Map<number, FaultCell>()
  const add = (day: number, count: number, expected: number) => {
    const cell = byDay.get(day) ?? { day, count: 0, expected: 0 }
    byDay.set(day, { day, count: cell.count + count, expected: cell.expected + expected })
  }
  for (const life of lives) {
    if (life.unknownAge) continue
    expectedAtLooks(life, model, (age, chance) => add(life.startDay + age, 0, chance))
    if (life.event) add(life.endDay, 1, 0)
  }
  return [...byDay.values()].sort((one, other) => one.day - other.day)
}

export type Stretch = { count: number; expected: number }

/** Adds up the cells up to and including a day, and after it. A need found on the day itself was there before. */
export function splitAt(cells: readonly FaultCell[], day: number): { before: Stretch; since: Stretch } {
  const sum = (part: readonly FaultCell[]) => ({
    count: part.reduce((total, cell) => total + cell.count, 0),
    expected: part.reduce((total, cell) => total + cell.expected, 0),
  })
  return { before: sum(cells.filter((cell) => cell.day <= day)), since: sum(cells.filter((cell) => cell.day > day)) }
}

/** How sure an interval of a change is. */
export const CHANGE_LEVEL = 0.9

export type ChangeSince = {
  before: Stretch
  since: Stretch
  /** Rate since over rate before, each per expected need; null where either side was not watched. */
  ratio: PoissonRateRatio | null
}

/** Before and since a date, each held against its own looks, with the exact interval of the ratio of the two. */
export function changeSince(cells: readonly FaultCell[], day: number): ChangeSince {
  const { before, since } = splitAt(cells, day)
  const watched = before.expected > 0 && since.expected > 0
  const sample = ({ count, expected }: Stretch) => ({ count, exposure: expected })
  return { before, since, ratio: watched ? poissonRateRatio(sample(since), sample(before), CHANGE_LEVEL) : null }
}
