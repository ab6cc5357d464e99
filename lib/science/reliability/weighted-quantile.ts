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
