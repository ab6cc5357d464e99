/** Every order of 0 … n − 1. */
export function* allOrders(count: number, start: readonly number[] = []): Generator<readonly number[]> {
  if (start.length === count) yield start
  for (let place = 0; place < count; place++) if (!start.includes(place)) yield* allOrders(count, [...start, place])
}

export type Tried = { probability: number; minutes: number; needs?: readonly string[] }

/** Expected minutes of one order, cause by cause: each costs its minutes, and its set-ups once, in all cases in which the fault was not found before. */
export function expectedMinutesOf(
  order: readonly number[],
  causes: readonly Tried[],
  setUps = new Map<string, number>(),
) {
  const inPlace = new Set<string>()
  let [left, expected] = [1, 0]
  for (const place of order) {
    const { probability, minutes, needs = [] } = causes[place] ?? { probability: 0, minutes: 0 }
    let step = minutes
    for (const slug of needs) if (!inPlace.has(slug)) step += setUps.get(slug) ?? Number.NaN
    for (const slug of needs) inPlace.add(slug)
    expected += left * step
    left -= probability
  }
  return expected
}
