import type { RandomSource } from './life-distribution'
import { checkCount } from './poisson-rate'

/** Events seen in one stretch of watching, and how many it would show at the rate held against. */
export type ExposureCell = { count: number; exposure: number }

export type PoissonChangePoint = {
  /** Number of cells before the change: the first cell of the new rate. */
  at: number
  before: { count: number; exposure: number; rate: number }
  after: { count: number; exposure: number; rate: number }
  /** Log-likelihood gained over one constant rate. */
  gain: number
  /** Share of simulations without a change, of the same total over the same exposures, that gain as much: (1 + hits) / (1 + simulations). */
  pValue: number
}

const CHANGES_NEEDED = 2

/**
 * The likeliest single change of rate in a sequence of Poisson counts with exposures: the cut at which two rates gain most over one
 * (profile likelihood), and how often chance alone gains as much. The simulation is conditional on the total, so that no rate is assumed.
 * Domain: two cells with exposure or more; whole counts; exposures of 0 or more; `random` uniform on [0, 1). Null where nothing happened.
 * Errors: RangeError on bad input. Source: Worsley 1986, Biometrika 73: 91–104 (likelihood ratio at the likeliest cut).
 * @example poissonChangePoint([...yearsOfManyAccidents, ...yearsOfFew], { simulations: 999, random })
 */
export function poissonChangePoint(
  cells: readonly ExposureCell[],
  { simulations, random }: { simulations: number; random: RandomSource },
): PoissonChangePoint | null {
  for (const { count, exposure } of cells) {
    checkCount(count)
    if (!(exposure >= 0 && exposure < Infinity))
      throw new RangeError(`exposure must be a number of 0 or more, got ${exposure}`)
    if (count > 0 && exposure === 0) throw new RangeError('events need an exposure above 0')
  }
  if (!(Number.isInteger(simulations) && simulations > 0))
    throw new RangeError(`simulations must be a whole number above 0, got ${simulations}`)
  const watched = cells.filter((cell) => cell.exposure > 0).length
  if (watched < 2) throw new RangeError(`at least 2 stretches of watching are needed, got ${watched}`)
  const exposures = Float64Array.from(cells, (cell) => cell.exposure)
  const counts = Float64Array.from(cells, (cell) => cell.count)
  const total = counts.reduce((sum, count) => sum + count, 0)
  if (total < CHANGES_NEEDED) return null
  const cumulative = Float64Array.from(exposures)
  for (let cell = 1; cell < cumulative.length; cell++)
    cumulative[cell] = at(cumulative, cell) + at(cumulative, cell - 1)
  const found = likeliestCut(counts, cumulative, total)
  let hits = 0
  const drawn = new Float64Array(cells.length)
  for (let run = 0; run < simulations; run++) {
    drawn.fill(0)
    for (let event = 0; event < total; event++) {
      const cell = cellOf(cumulative, random() * at(cumulative, cumulative.length - 1))
      drawn[cell] = at(drawn, cell) + 1
    }
    if (likeliestCut(drawn, cumulative, total).gain >= found.gain - 1e-12) hits++
  }
  const whole = at(cumulative, cumulative.length - 1)
  const exposureBefore = at(cumulative, found.at - 1)
  const side = (count: number, exposure: number) => ({ count, exposure, rate: count / exposure })
  return {
    at: found.at,
    before: side(found.countBefore, exposureBefore),
    after: side(total - found.countBefore, whole - exposureBefore),
    gain: found.gain,
    pValue: (1 + hits) / (1 + simulations),
  }
}

/** Index within bounds: a typed array gives `number | undefined` to the checker. */
const at = (values: Float64Array, index: number) => values[index] ?? 0

function likeliestCut(counts: Float64Array, cumulative: Float64Array, total: number) {
  const whole = at(cumulative, cumulative.length - 1)
  const part = (count: number, exposure: number) => (count === 0 ? 0 : count * Math.log(count / exposure))
  const constant = part(total, whole)
  let best = { at: 1, gain: Number.NEGATIVE_INFINITY, countBefore: 0 }
  let countBefore = 0
  for (let cut = 1; cut < counts.length; cut++) {
    countBefore += at(counts, cut - 1)
    const exposure = at(cumulative, cut - 1)
    if (exposure === 0 || exposure >= whole) continue
    const gain = part(countBefore, exposure) + part(total - countBefore, whole - exposure) - constant
    if (gain > best.gain) best = { at: cut, gain, countBefore }
  }
  return best
}

/** The first cell whose cumulative exposure lies above the place. */
function cellOf(cumulative: Float64Array, place: number): number {
  let low = 0
  let high = cumulative.length - 1
  while (low < high) {
    const middle = (low + high) >> 1
    if (at(cumulative, middle) > place) high = middle
    else low = middle + 1
  }
  return low
}
