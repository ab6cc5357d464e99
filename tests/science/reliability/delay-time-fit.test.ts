import { describe, expect, test } from 'vitest'
import { calibrateDelayOnce, fitDelayTime, type InspectedUnit, inspectionOptions, seededRandom } from '@/lib/science'
import { inspectUnit } from '@/lib/science/reliability/delay-time-calibration'
import { gammaMixtureQuantiles } from '@/lib/science/reliability/gamma-mixture'
import { inverseIncompleteGamma } from '@/lib/science/special-functions'
import { expectRelative } from '../close-to'

const PRIOR = { median: 56, sdOfLog: 1.2 }
/** Units of which the rates lie between a third and twice the mean, inspected about every 7, 14 or 28 days. */
function simulateRoute(random: () => number, { units, gaps, delay }: { units: number; gaps: number; delay: number }) {
  return Array.from({ length: units }, (_, i) => {
    const rate = 0.01 + 0.05 * random()
    const every = [7, 14, 28][i % 3] ?? 14
    return { unit: `tank ${i}`, rate, gaps: inspectUnit(random, { rate, meanDelay: delay, every, gaps }) }
  })
}

describe('fitDelayTime', () => {
  test('finds a stated mean delay and the rates of single tanks in a large sample', () => {
    const units = simulateRoute(seededRandom(5), { units: 40, gaps: 400, delay: 45 })
    const fit = fitDelayTime(units, PRIOR)
    expectRelative(fit.meanDelay.median, 45, 0.06)
    expect(fit.meanDelay.upper / fit.meanDelay.lower).toBeLessThan(1.25)
    const held = fit.units.filter(({ defectRate }, i) => {
      const rate = units[i]?.rate ?? 0
      return defectRate.lower <= rate && rate <= defectRate.upper
    })
    expect(held.length).toBeGreaterThanOrEqual(31) // 9 in 10 of 40 with binomial luck: below 31 has a chance of 0.2 %
  })

  // Truths drawn from the stated priors. 120 routes of 12 tanks and 10 visits: a true 90 % interval holds 98 to 117 of them in 99 of 100 runs.
  test('its 90 % intervals of the delay, of a rate and of a cost hold the truth about nine times in ten', () => {
    const random = seededRandom(2_026)
    const held = { meanDelay: 0, defectRate: 0, costRate: 0 }
    for (let route = 0; route < 120; route++) {
      const one = calibrateDelayOnce(random, PRIOR)
      if (one.meanDelay) held.meanDelay += 1
      if (one.defectRate) held.defectRate += 1
      if (one.costRate) held.costRate += 1
    }
    for (const count of Object.values(held)) {
      expect(count).toBeGreaterThanOrEqual(98)
      expect(count).toBeLessThanOrEqual(117)
    }
  })

  test('without a failure the delay is only known to be long, and never a number out of range', () => {
    const random = seededRandom(9)
    for (let round = 0; round < 60; round++) {
      const units: InspectedUnit[] = Array.from({ length: 1 + Math.floor(4 * random()) }, (_, i) => ({
        unit: `${i}`,
        gaps: Array.from({ length: 1 + Math.floor(3 * random()) }, () => ({
          length: 10 ** (6 * random() - 2),
          found: random() < 0.5 ? 0 : Math.floor(400 * random() ** 4),
          failed: round % 3 === 0 ? 0 : Math.floor(300 * random() ** 4),
        })),
      }))
      const fit = fitDelayTime(units, PRIOR)
      const intervals = [fit.meanDelay, ...fit.units.map(({ defectRate }) => defectRate)]
      for (const { lower, median, upper } of intervals) {
        expect(lower).toBeGreaterThan(0)
        expect(median).toBeGreaterThanOrEqual(lower)
        expect(upper).toBeGreaterThanOrEqual(median)
        expect(upper).toBeLessThan(Number.POSITIVE_INFINITY)
      }
      for (const { draws } of fit.units)
        for (const option of inspectionOptions(draws, { inspection: 1, defect: 2, failure: 9 }, [7, 14, 28]))
          expect(Object.values(option).every(Number.isFinite)).toBe(true)
    }
  })

  test('refuses what is no count and no gap, in words', () => {
    const unit = (gap: object) => [{ unit: 'Lobby', gaps: [{ length: 14, found: 0, failed: 0, ...gap }] }]
    expect(() => fitDelayTime([], PRIOR)).toThrow(/at least one unit/)
    expect(() => fitDelayTime([{ unit: 'Lobby', gaps: [] }], PRIOR)).toThrow(/Lobby: at least one gap/)
    expect(() => fitDelayTime(unit({ length: 0 }), PRIOR)).toThrow(/longer than 0/)
    expect(() => fitDelayTime(unit({ found: 0.5 }), PRIOR)).toThrow(/whole numbers/)
  })
})

describe('inspectionOptions', () => {
  // The optimum of a published worked case (first of the table in replacement.test.ts, with its source) must be the cheapest among close neighbours, at the same cost.
  test('agrees with the optimum of the model', () => {
    const truth = { defectRate: 0.02, meanDelay: 60 }
    const offered = [0.8, 0.95, 1, 1.05, 1.25].map((times) => 25.7296854852 * times)
    const options = inspectionOptions([{ ...truth, weight: 3 }], { inspection: 40, defect: 120, failure: 600 }, offered)
    expectRelative(options[2]?.mean, 5.7477899637, 1e-10)
    expect(options[2]?.chanceCheapest).toBe(1)
    expectRelative(options[2]?.failures, truth.defectRate * 0.186788066838, 1e-10)
  })

  test('chances add up, and each is the weight of its draws', () => {
    const draws = [
      { defectRate: 0.001, meanDelay: 500, weight: 3 },
      { defectRate: 0.5, meanDelay: 10, weight: 1 },
    ]
    const options = inspectionOptions(draws, { inspection: 50, defect: 20, failure: 300 }, [7, 28])
    expect(options.map(({ chanceCheapest }) => chanceCheapest)).toEqual([0.25, 0.75])
    expect(options.map(({ chanceCheaperThanFirst }) => chanceCheaperThanFirst)).toEqual([0, 0.75])
  })
})

describe('gammaMixtureQuantiles', () => {
  test.each([0.25, 1, 3, 40, 4000])('one part is the Gamma distribution itself, shape %d', (shape) => {
    const shares = [0.05, 0.25, 0.5, 0.75, 0.95]
    gammaMixtureQuantiles([{ shape, rate: 3, weight: 1 }], shares).forEach((value, i) => {
      expectRelative(value, inverseIncompleteGamma(shape, shares[i] ?? 0, 'lower') / 3, 0.006)
    })
  })
})
