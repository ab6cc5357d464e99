/**
 * Share of defects that fail before the next inspection, by interval over mean delay (0 or more): b(x) = 1 − (1 − e^−x) / x with x = interval / mean delay.
 * For small x by its series x/2 − x²/6 + x³/24 − …, because the plain formula loses its digits there.
 */
export function shareFailingAt(x: number): number {
  if (x === Infinity) return 1
  if (x < 0.05) {
    let term = x / 2
    let sum = term
    for (let n = 3; n < 20; n++) {
      term *= -x / n
      sum += term
    }
    return sum
  }
  return 1 + Math.expm1(-x) / x
}
