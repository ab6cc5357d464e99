import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { conditionalQuantile, meanLife, quantileOf, sampleLife, survivalAt } from '@/lib/science'
import { expectRelative } from '../close-to'
import { seededRandom } from '../seeded-random'

const weibull = fc.record({
  shape: fc.double({ min: 0.2, max: 20, noNaN: true }),
  scale: fc.double({ min: 1e-100, max: 1e100, noNaN: true }),
})
const share = fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true })

describe('a Weibull life', () => {
  test('closed forms: S(scale) = 1/e, median scale · (log 2)^(1/shape), mean scale · Γ(1 + 1/shape)', () => {
    expectRelative(survivalAt({ shape: 3, scale: 7 }, 7), Math.exp(-1), 1e-14)
    expectRelative(quantileOf({ shape: 2, scale: 10 }, 0.5), 10 * Math.sqrt(Math.LN2), 1e-14)
    expectRelative(meanLife({ shape: 2, scale: 10 }), 5 * Math.sqrt(Math.PI), 1e-14)
    // NIST/SEMATECH e-Handbook 8.4.1.3: mean 540.737 at shape 1.7208, scale 606.528; ten per cent by 164.02 (R survival).
    expectRelative(meanLife({ shape: 1.7207972608, scale: 606.527558004 }), 540.73702547, 1e-10)
    expectRelative(quantileOf({ shape: 1.7207972608, scale: 606.527558004 }, 0.1), 164.02243866, 1e-9)
  })

  test('quantile and survival undo each other, from any age', () => {
    fc.assert(
      fc.property(weibull, share, fc.double({ min: 0, max: 3, noNaN: true }), (life, q, part) => {
        const age = part * life.scale
        const survivors = survivalAt(life, age)
        fc.pre(survivors > 1e-200)
        const t = conditionalQuantile(life, age, q)
        expect(t).toBeGreaterThanOrEqual(age)
        // A short remaining life after a long age is only known to the last digits of the age itself.
        expect(Math.abs(survivalAt(life, t) / survivors - (1 - q))).toBeLessThan(1e-9)
      }),
      { numRuns: 2000, seed: 6 },
    )
  })

  test('a mixture is the weighted mean in survival, and its quantiles invert that', () => {
    const mixture = {
      draws: [
        { shape: 1, scale: 10, weight: 3 },
        { shape: 4, scale: 50, weight: 1 },
      ],
    }
    expectRelative(survivalAt(mixture, 20), 0.75 * Math.exp(-2) + 0.25 * Math.exp(-(0.4 ** 4)), 1e-14)
    expectRelative(survivalAt(mixture, quantileOf(mixture, 0.7)), 0.3, 1e-12)
    const later = conditionalQuantile(mixture, 30, 0.4)
    expectRelative(survivalAt(mixture, later), 0.6 * survivalAt(mixture, 30), 1e-12)
    // Among the old, the long-lived part has taken over.
    expect(conditionalQuantile(mixture, 200, 0.5)).toBeLessThan(300)
  })

  test('ends: q 0 is the age, q 1 is Infinity, an age beyond all lives still answers', () => {
    expect(conditionalQuantile({ shape: 2, scale: 5 }, 3, 0)).toBe(3)
    expect(quantileOf({ shape: 2, scale: 5 }, 1)).toBe(Infinity)
    expect(survivalAt({ shape: 2, scale: 5 }, Infinity)).toBe(0)
    expect(conditionalQuantile({ shape: 20, scale: 1 }, 1e6, 0.5)).toBeGreaterThanOrEqual(1e6)
  })

  test('random lives follow the distribution (Kolmogorov distance of 20,000 draws below its 99.9 % point 1.95/√n)', () => {
    const random = seededRandom(11)
    const life = { shape: 1.7, scale: 30 }
    const draws = Array.from({ length: 20_000 }, () => sampleLife(life, random)).sort((a, b) => a - b)
    const distance = Math.max(...draws.map((t, i) => Math.abs(1 - survivalAt(life, t) - (i + 0.5) / draws.length)))
    expect(distance).toBeLessThan(1.95 / Math.sqrt(draws.length))
  })

  test.each([Number.NaN, -1])('refuses %d', (bad) => {
    expect(() => survivalAt({ shape: bad, scale: 1 }, 1)).toThrow(RangeError)
    expect(() => survivalAt({ shape: 1, scale: 1 }, bad)).toThrow(RangeError)
    expect(() => quantileOf({ shape: 1, scale: 1 }, bad)).toThrow(RangeError)
    expect(() => conditionalQuantile({ shape: 1, scale: 1 }, bad, 0.5)).toThrow(RangeError)
    expect(() => sampleLife({ shape: 1, scale: 1 }, () => bad)).toThrow(RangeError)
  })
  test('draws that hold the age already are not weighed by it again: the same answer as weighing the draws of before once', () => {
    const before = [
      { shape: 1.5, scale: 60, weight: 0.3 },
      { shape: 2, scale: 120, weight: 0.5 },
      { shape: 4, scale: 250, weight: 0.2 },
    ]
    for (const age of [10, 90, 300]) {
      const after = before.map((draw) => ({ ...draw, weight: draw.weight * survivalAt(draw, age) }))
      for (const share of [0.05, 0.5, 0.95]) {
        const once = conditionalQuantile({ draws: before }, age, share)
        expect(conditionalQuantile({ draws: after }, age, share, { alreadyWeighed: true })).toBeCloseTo(once, 9)
        expect(conditionalQuantile({ draws: after }, age, share)).toBeGreaterThan(once)
      }
    }
  })
})
