import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { fitWeibull, NotEstimable, type Observation, type WeibullFit } from '@/lib/science'
import { checkObservations } from '@/lib/science/reliability/observation'
import { weibullExistence } from '@/lib/science/reliability/weibull-existence'
import { plainLogLikelihood } from './plain-likelihood'

// Properties of the fit itself; no outside source is needed for what must hold for any data.

/** One life of any kind, in units near 1. Few distinct ages on purpose, so that ties, shared points and touching intervals come up often. */
const age = fc.oneof(
  fc.integer({ min: 1, max: 12 }),
  fc.integer({ min: 1, max: 20_000 }).map((n) => n / 400),
)
const weight = fc.option(fc.double({ min: 0.1, max: 5, noNaN: true }), { nil: undefined })
const life: fc.Arbitrary<Observation> = fc
  .record({
    kind: fc.constantFrom('exact', 'right', 'left', 'interval'),
    one: age,
    other: age,
    entry: age,
    late: fc.integer({ min: 0, max: 3 }),
    weight,
  })
  .map(({ kind, one, other, entry, late, weight }) => {
    const [low, high] = one < other ? [one, other] : [other, one]
    const base: Observation =
      kind === 'exact'
        ? { lower: one, upper: one }
        : kind === 'right'
          ? { lower: one, upper: Infinity }
          : kind === 'left' || low === high
            ? { lower: 0, upper: one }
            : { lower: low, upper: high }
    const observation = weight === undefined ? base : { ...base, weight }
    return late === 0 && entry < base.upper ? { ...observation, truncatedAt: entry } : observation
  })
const lives = fc.array(life, { minLength: 1, maxLength: 12 })
/** Without late entries the likelihood has one summit at most. */
const plainLives = fc.array(
  life.map(({ truncatedAt: _, ...observation }) => observation),
  { minLength: 1, maxLength: 12 },
)

/** A fit exists, but its scale is too small or large for a number. */
const BEYOND_NUMBERS = 'beyond numbers'

function fitOrReason(observations: readonly Observation[]): WeibullFit | string {
  try {
    return fitWeibull(observations)
  } catch (error) {
    if (error instanceof NotEstimable)
      return error.message.includes('written as a number') ? BEYOND_NUMBERS : error.code
    throw error
  }
}

const numbersOf = (fit: WeibullFit) => [
  fit.shape,
  fit.scale,
  fit.logLikelihood,
  ...Object.values(fit.standardErrors),
  ...fit.covariance.flat(),
]

describe('fitWeibull on any data', () => {
  test('gives finite numbers or says why there is no answer, and the existence check foretells which', () => {
    fc.assert(
      fc.property(lives, (observations) => {
        const foretold = weibullExistence(checkObservations(observations))
        const result = fitOrReason(observations)
        if (typeof result === 'string' && foretold === null) expect(result).toBe(BEYOND_NUMBERS)
        else if (typeof result === 'string') expect(result).toBe(foretold)
        else {
          expect(foretold).toBeNull()
          expect(numbersOf(result).every(Number.isFinite)).toBe(true)
        }
      }),
      { numRuns: 6000, seed: 1 },
    )
  })

  test('no nearby or far parameters are more likely than the fit', () => {
    fc.assert(
      fc.property(
        plainLives,
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        (observations, a, b) => {
          const result = fitOrReason(observations)
          if (typeof result === 'string') return
          const here = plainLogLikelihood(observations, result.shape, result.scale)
          expect(Math.abs(here - result.logLikelihood)).toBeLessThanOrEqual(1e-8 * (1 + Math.abs(here)))
          for (const step of [1e-3, 0.1, 1]) {
            const there = plainLogLikelihood(
              observations,
              result.shape * Math.exp(a * step),
              result.scale * Math.exp(b * step),
            )
            expect(there).toBeLessThanOrEqual(here + 1e-9 * (1 + Math.abs(here)))
          }
        },
      ),
      { numRuns: 4000, seed: 2 },
    )
  })

  test('where it says there is no answer, going further towards the edge beats any tried parameters', () => {
    fc.assert(
      fc.property(
        plainLives,
        fc.double({ min: -1.5, max: 1.5, noNaN: true }),
        fc.double({ min: -2, max: 4, noNaN: true }),
        (observations, logShape, logScale) => {
          const result = fitOrReason(observations)
          if (typeof result !== 'string') return
          const tried = plainLogLikelihood(observations, Math.exp(logShape), Math.exp(logScale))
          expect(edgeLikelihood(result, observations)).toBeGreaterThanOrEqual(tried - 1e-6)
        },
      ),
      { numRuns: 4000, seed: 3 },
    )
  })

  test('does not depend on the unit of time, from the very small to the very large', () => {
    fc.assert(
      fc.property(lives, fc.integer({ min: -200, max: 200 }), (observations, exponent) => {
        const unit = 10 ** exponent
        const scaled = observations.map((observation) => ({
          ...observation,
          lower: observation.lower * unit,
          upper: observation.upper * unit,
          ...(observation.truncatedAt === undefined ? {} : { truncatedAt: observation.truncatedAt * unit }),
        }))
        const one = fitOrReason(observations)
        const other = fitOrReason(scaled)
        if (one === BEYOND_NUMBERS || other === BEYOND_NUMBERS) return
        if (typeof one === 'string' || typeof other === 'string') {
          expect(other).toEqual(one)
          return
        }
        // Rounding of the scaled times moves the summit a little where it is flat.
        const slack = 1e-9 * (1 + one.standardErrors.logScale + one.standardErrors.logShape)
        expect(Math.abs(Math.log(other.shape / one.shape))).toBeLessThan(slack)
        expect(Math.abs(Math.log(other.scale / unit / one.scale))).toBeLessThan(slack * (1 + 1 / one.shape))
      }),
      { numRuns: 4000, seed: 4 },
    )
  })

  test('lives that agree to many digits, and huge weights, do not break it', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 14 }),
        fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 2, maxLength: 8 }),
        (digits, offsets) => {
          const observations = offsets.map((offset, i) => {
            const at = 100 * (1 + offset * 10 ** -digits)
            return i % 3 === 2
              ? { lower: at, upper: at * (1 + 10 ** -digits), weight: 10 ** digits }
              : { lower: at, upper: at, weight: 10 ** -i }
          })
          const result = fitOrReason(observations)
          if (typeof result !== 'string') expect(numbersOf(result).every(Number.isFinite)).toBe(true)
        },
      ),
      { numRuns: 2000, seed: 5 },
    )
  })
})

/** The highest likelihood found on the way to the edge that a code names. */
function edgeLikelihood(code: string, observations: readonly Observation[]): number {
  let best = -Infinity
  const uppers = observations.map(({ upper }) => upper)
  const lowers = observations.map(({ lower }) => lower)
  const consider = (shape: number, scale: number) => {
    const value = plainLogLikelihood(observations, shape, scale)
    if (!Number.isNaN(value)) best = Math.max(best, value)
  }
  for (let step = 0; step < 400; step++) {
    if (code === 'no-events') consider(1, 10 ** (step / 4))
    if (code === 'flat')
      for (let level = -6; level <= 3; level += 0.05)
        consider(10 ** (-1 - step / 20), Math.exp(-level / 10 ** (-1 - step / 20)))
    if (code === 'flat' && step >= 60) break
    // A point that all share: the shape grows there, the scale placed so that any share of the lives may end at it.
    if (code === 'shape-unbounded') {
      const finite = Math.min(...uppers)
      for (const point of new Set([Math.max(...lowers), finite, Math.sqrt(Math.max(...lowers, finite / 4) * finite)])) {
        const shape = 10 ** (step / 40)
        for (let level = -3; level <= 2; level += 0.25) consider(shape, point * Math.exp(-level / shape))
      }
      if (step > 240) break
    }
  }
  return best
}
