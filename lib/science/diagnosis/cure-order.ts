import type { NumberedModel } from './model'

/**
 * Curing without learning more: which cause to try next, and the expected minutes × weight until the fault is gone. Base policy of `nextCheck`.
 * The order is by weight / minutes, where what is not yet in place (set-ups, checks that must come first) is shared by the causes it serves: of every such set take the run of cures with the greatest
 * (sum of weights) / (what is missing + sum of minutes), and take the first step of the best of these runs; then ask again. With nested set-ups (each needs the one before) no order is quicker; with others it is a good one. What the checks
 * on the way would show is left out, as is that one of them may want the set-ups taken back.
 * `last` causes come when no other is left. Weights need not sum to 1: the result scales with them.
 * Source: Horn 1972, SIAM J. Appl. Math. 23: 189–202 (weighted completion times, tree-like precedence), with set-ups as jobs without weight.
 * @param ready bits of set-ups in place and checks done
 */
export function cureOrder(
  model: NumberedModel,
  weights: readonly number[],
  ready: number,
): { first: number | null; expected: number } {
  const { causes } = model
  const weightOf = (place: number) => weights[place] ?? 0
  const minutesOf = (place: number) => causes[place]?.minutes ?? 0
  const needs = causes.map((_, place) => needsOfCure(model, place, ready))
  const needsOf = (place: number) => needs[place] ?? 0
  const byWorth = causes
    .map((_, place) => place)
    .filter((place) => weightOf(place) > 0)
    .sort((one, other) => weightOf(other) * minutesOf(one) - weightOf(one) * minutesOf(other) || one - other)
  let waiting = byWorth.filter((place) => !causes[place]?.last)
  let left = byWorth.reduce((sum, place) => sum + weightOf(place), 0)
  let expected = 0
  let first: number | null = null
  const attempt = (place: number) => {
    first ??= place
    expected += left * (minutesOf(place) + missingMinutes(model, needsOf(place), ready))
    ready |= needsOf(place)
    left -= weightOf(place)
  }
  while (waiting.length > 0) {
    let [bestWorth, bestNeeds, bestLength] = [-1, 0, 0]
    const tried: number[] = []
    for (const place of waiting) {
      const wanted = needsOf(place) | ready
      if (tried.includes(wanted)) continue
      tried.push(wanted)
      let [minutes, weight, length] = [missingMinutes(model, wanted, ready), 0, 0]
      for (const other of waiting) {
        if ((needsOf(other) & ~wanted) !== 0) continue
        minutes += minutesOf(other)
        weight += weightOf(other)
        length += 1
        if (weight <= bestWorth * minutes) continue
        bestWorth = weight / minutes
        bestNeeds = wanted
        bestLength = length
      }
    }
    const run = waiting.filter((place) => (needsOf(place) & ~bestNeeds) === 0).slice(0, bestLength)
    const missing = (place: number) => missingMinutes(model, needsOf(place), ready)
    const next = run.reduce((one, other) => (missing(other) < missing(one) ? other : one))
    if (missing(next) > 0) {
      // The way in alone; what is best then is asked again.
      first ??= next
      expected += left * missing(next)
      ready |= needsOf(next)
    } else {
      attempt(next)
      waiting = waiting.filter((place) => place !== next)
    }
  }
  for (const place of byWorth) if (causes[place]?.last) attempt(place)
  return { first, expected }
}

/** Bits that curing this cause still asks for: its set-ups, the checks before it that were not done, and the set-ups of those. */
export function needsOfCure(model: NumberedModel, place: number, ready: number): number {
  const cause = model.causes[place]
  let needs = cause?.needs ?? 0
  for (const before of cause?.after ?? []) {
    const check = model.checks[before]
    if (check && (ready & check.bit) === 0) needs |= check.bit | check.needs
  }
  return needs
}

/** Minutes of the bits in `needs` that are not ready. */
export function missingMinutes(model: NumberedModel, needs: number, ready: number): number {
  let sum = 0
  for (let missing = needs & ~ready; missing !== 0; missing &= missing - 1)
    sum += model.minutes[31 - Math.clz32(missing & -missing)] ?? 0
  return sum
}
