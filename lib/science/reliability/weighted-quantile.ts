/**
 * The least value that at least this share of the weight does not exceed. `rising`: sorted by value, weights summing to 1; a share that is met but
 * for rounding counts as met. 0 of nothing.
 */
export function weightedQuantile(rising: readonly { value: number; weight: number }[], share: number): number {
  let reached = 0
  for (const { value, weight } of rising) {
    reached += weight
    if (reached >= share - 1e-12) return value
  }
  return rising.at(-1)?.value ?? 0
}

/**
 * The limit that a further draw stays below with this chance, from draws that stand for a distribution: the k-th of n equal ones stands at k / (n + 1) (Weibull's plotting position), with straight
 * lines between, so that limits from a few dozen draws are not drawn inwards. Unequal weights count as 1 / Σ w² equal ones. Beyond the outermost draws the outermost value.
 * `rising`: sorted by value, weights summing to 1. 0 of nothing. Source: Hyndman & Fan 1996, Am. Stat. 50: 361–365, definition 6.
 */
export function quantileOfDraws(rising: readonly { value: number; weight: number }[], share: number): number {
  const count = 1 / rising.reduce((sum, { weight }) => sum + weight * weight, 0)
  let reached = 0
  let before: { value: number; place: number } | null = null
  for (const { value, weight } of rising) {
    const place = 0.5 + ((reached + weight / 2 - 0.5) * count) / (count + 1)
    if (place >= share) {
      if (!before || place === before.place) return value
      return before.value + ((value - before.value) * (share - before.place)) / (place - before.place)
    }
    before = { value, place }
    reached += weight
  }
  return before?.value ?? 0
}
