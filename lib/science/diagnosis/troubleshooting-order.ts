/**
 * In which order to try single causes so that the expected minutes until the cure are least: by probability / minutes, greatest first; equals in the order given. One fault; trying a
 * cause takes its minutes and shows for certain whether it was that; every cause is tried until it is found, the last one too. Expected minutes = Σ minutes of the k-th × (1 − probabilities before it).
 * Units: probabilities (any positive scale gives the same order), minutes. Domain: probability ≥ 0, minutes ≥ 0 (0 minutes go first). Errors: RangeError outside.
 * Source: Kalagnanam & Henrion 1988, UAI-4; Blackwell's optimal search; the exchange argument of Smith 1956, Naval Research Logistics Quarterly 3: 59–66.
 * @example troubleshootingOrder([{ probability: 0.4, minutes: 10 }, { probability: 0.3, minutes: 2 }]) // [1, 0]
 */
export function troubleshootingOrder(causes: readonly { probability: number; minutes: number }[]): number[] {
  const worth = causes.map(({ probability, minutes }) => {
    if (!(probability >= 0 && probability < Infinity))
      throw new RangeError(`a probability must be 0 or more, got ${probability}`)
    if (!(minutes >= 0 && minutes < Infinity)) throw new RangeError(`minutes must be 0 or more, got ${minutes}`)
    return minutes > 0 ? probability / minutes : Infinity
  })
  // Not by the difference: Infinity − Infinity is no number.
  const compare = (one: number, other: number) => {
    const [first = 0, second = 0] = [worth[one], worth[other]]
    return first === second ? one - other : first > second ? -1 : 1
  }
  return causes.map((_, place) => place).sort(compare)
}
