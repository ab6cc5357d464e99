import { describe, expect, test } from 'vitest'
import { fitRateSpread, gammaQuantile, likeliestSpread, probabilityAbove, rateUnder, seededRandom } from '@/lib/science'
import { gammaMixtureQuantiles } from '@/lib/science/reliability/gamma-mixture'
import { RATE_SPREAD_PRIOR, rateParts } from '@/lib/science/reliability/rate-spread'
import { incompleteGamma, inverseIncompleteGamma, normalQuantile } from '@/lib/science/special-functions'
import { PUMPS } from './pumps'

describe('rates of units under a spread that is itself not known', () => {
  // George, Makov & Smith 1993, Scand. J. Stat. 20: 147–156 give posterior means under vague priors of alpha and beta; from memory: 0.060, 0.10, 0.089, 0.116, 0.60, 0.61, 0.90, 0.90, 1.59, 1.99 (as in
  // the pumps example of the BUGS manual). Their prior is not ours, and draws a pump of little exposure further to the others.
  test('the pumps: near the published means of a full Bayesian reading', () => {
    const published = [0.06, 0.1, 0.089, 0.116, 0.6, 0.61, 0.9, 0.9, 1.59, 1.99]
    const spread = fitRateSpread(PUMPS)
    for (const [i, pump] of PUMPS.entries()) {
      const { mean } = rateUnder(spread, pump)
      expect(Math.abs(mean / (published[i] ?? 1) - 1)).toBeLessThan(0.15)
    }
  })

  test('the one Gamma has mean and variance of the mixture, and nearly its quantiles', () => {
    const spread = fitRateSpread(PUMPS)
    for (const pump of PUMPS) {
      const one = rateUnder(spread, pump)
      const parts = rateParts(spread, pump)
      const below = (value: number) =>
        parts.reduce((sum, { shape, rate, weight }) => sum + weight * incompleteGamma(shape, rate * value).lower, 0)
      for (const share of [0.05, 0.5, 0.95]) {
        expect(below(gammaQuantile(one, share))).toBeCloseTo(share, 1)
        expect(below(gammaMixtureQuantiles(parts, [share])[0] ?? 0)).toBeCloseTo(share, 3)
      }
    }
  })

  test('quantiles of a mixture of very wide and very narrow parts are those of its distribution function', () => {
    const parts = [
      { shape: 0.06, rate: 0.06, weight: 0.4 },
      { shape: 129, rate: 129, weight: 0.3 },
      { shape: 129, rate: 60, weight: 0.3 },
    ]
    const below = (value: number) =>
      parts.reduce((sum, { shape, rate, weight }) => sum + weight * incompleteGamma(shape, rate * value).lower, 0)
    const shares = [0.05, 0.3, 0.5, 0.7, 0.95]
    for (const [i, value] of gammaMixtureQuantiles(parts, shares).entries())
      expect(below(value)).toBeCloseTo(shares[i] ?? 0, 3)
  })

  test('no units: the prior spread about a rate of 1; counts and exposures outside the domain are refused', () => {
    const { mean, shape } = rateUnder(fitRateSpread([]), { count: 0, exposure: 0 })
    expect(mean).toBeCloseTo(1, 12)
    expect(Math.sqrt(1 / shape)).toBeGreaterThan(0.5)
    expect(() => fitRateSpread([{ count: 1.5, exposure: 1 }])).toThrow(RangeError)
    expect(() => fitRateSpread([{ count: 1, exposure: 0 }])).toThrow(RangeError)
  })
})

/** Truth drawn from the stated prior: businesses of 12 to 60 tanks, mean ratio 1, each tank's own ratio from a Gamma, expected counts of 0.5 to 5. */
describe('the 90 % interval of a tank’s ratio, simulated', () => {
  const random = seededRandom(404)
  const uniform = () => Math.min(Math.max(random(), 1e-12), 1 - 1e-12)
  const BUSINESSES = 300
  const held = { mixture: 0, plugIn: 0, tanks: 0, above: 0, saidAbove: 0, unexpected: 0 }
  for (let n = 0; n < BUSINESSES; n++) {
    const alpha = (RATE_SPREAD_PRIOR.median * Math.exp(RATE_SPREAD_PRIOR.sdOfLog * normalQuantile(uniform()))) ** -2
    const tanks = Array.from({ length: 12 + Math.floor(48 * random()) }, () => {
      const rate = inverseIncompleteGamma(alpha, uniform(), 'lower') / alpha
      const exposure = 0.5 + 4.5 * random()
      let count = -1
      for (let sum = 0; sum < rate * exposure; count++) sum -= Math.log(uniform())
      return { rate, exposure, count: Math.max(0, count) }
    })
    const spread = fitRateSpread(tanks)
    const likeliest = likeliestSpread(tanks)
    const total = (value: 'count' | 'exposure') => tanks.reduce((sum, tank) => sum + tank[value], 0)
    for (const tank of tanks) {
      const one = rateUnder(spread, tank)
      const chance = probabilityAbove(one, 1.5)
      held.tanks++
      if (gammaQuantile(one, 0.05) <= tank.rate && tank.rate <= gammaQuantile(one, 0.95)) held.mixture++
      // Where they differ no more than chance, every tank has the common rate.
      const plugIn = likeliest
        ? rateUnder([{ ...likeliest, weight: 1 }], tank)
        : { shape: total('count'), rate: total('exposure') }
      if (gammaQuantile(plugIn, 0.05) <= tank.rate && tank.rate <= gammaQuantile(plugIn, 0.95)) held.plugIn++
      if (chance > 0.85) {
        held.saidAbove++
        if (tank.rate > 1.5) held.above++
      }
    }
  }
  const share = {
    mixture: held.mixture / held.tanks,
    plugIn: held.plugIn / held.tanks,
    above: held.above / held.saidAbove,
  }
  const words = `holds ${(100 * share.mixture).toFixed(1)} % of ${held.tanks} tanks (with alpha and beta taken as known ${(100 * share.plugIn).toFixed(1)} %); of those said to be above 1.5 with 85 % or more, ${(100 * share.above).toFixed(1)} % are`

  test(`it holds about nine times in ten (${words})`, () => {
    expect(share.mixture, words).toBeGreaterThan(0.88)
    expect(share.mixture, words).toBeLessThan(0.93)
    expect(share.plugIn, words).toBeLessThan(share.mixture)
  })
  test('what is said to be likely is', () => {
    expect(share.above, words).toBeGreaterThan(0.85)
  })
})
