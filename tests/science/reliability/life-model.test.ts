import { describe, expect, test } from 'vitest'
import {
  calibrateOnce,
  fitLifeModel,
  fitWeibull,
  type LifeHistory,
  type LifePosterior,
  type Observation,
  posteriorLife,
  quantileOf,
  sampleLife,
  seededRandom,
  summariseCalibration,
  survivalAt,
  type WeibullPrior,
} from '@/lib/science'
import { gaussHermite } from '@/lib/science/reliability/gauss-hermite'
import { expectAllRelative, expectRelative } from '../close-to'
import { plainLogLikelihood } from './plain-likelihood'

const PRIOR: WeibullPrior = {
  logShape: { mean: 0.6, sd: 0.35 },
  logScale: { mean: Math.log(120), sd: 0.7 },
  correlation: -0.3,
}
const own = (observations: Observation[], unknownAge?: LifeHistory['unknownAge']): LifeHistory => ({
  tank: 'a',
  device: 'pump',
  observations,
  ...(unknownAge ? { unknownAge } : {}),
})
const mean = ({ draws }: LifePosterior, f: (draw: { shape: number; scale: number }) => number) =>
  draws.reduce((sum, draw) => sum + draw.weight * f(draw), 0)

/** The posterior mean of a function by a plain rectangle sum over log shape and log scale: slow, and shares no code with what it judges. */
function bruteForce(
  prior: WeibullPrior,
  logLikelihood: (shape: number, scale: number) => number,
  f: (shape: number, scale: number) => number,
  step = 0.04,
): number {
  const { logShape, logScale, correlation: r = 0 } = prior
  let weight = 0
  let sum = 0
  for (let x = -5; x <= 5; x += step) {
    for (let y = -5; y <= 5; y += step) {
      const shape = Math.exp(logShape.mean + logShape.sd * x)
      const scale = Math.exp(logScale.mean + logScale.sd * y)
      const density = Math.exp(-(x * x - 2 * r * x * y + y * y) / (2 * (1 - r * r)) + logLikelihood(shape, scale))
      weight += density
      sum += density * f(shape, scale)
    }
  }
  return sum / weight
}

describe('posteriorLife with a plain prior', () => {
  const cases: [string, Observation[]][] = [
    ['no lives', []],
    ['one that is still good', [{ lower: 200, upper: Infinity }]],
    [
      'three found at looks, one good',
      [
        { lower: 70, upper: 84 },
        { lower: 98, upper: 112 },
        { lower: 0, upper: 56 },
        { lower: 126, upper: Infinity },
      ],
    ],
    [
      'exact, weighted and late',
      [
        { lower: 90, upper: 90, weight: 2 },
        { lower: 150, upper: 164, truncatedAt: 100 },
      ],
    ],
  ]
  test.each(cases)('agrees with a rectangle sum: %s', (_, observations) => {
    const posterior = posteriorLife(own(observations), PRIOR)
    const likelihood = (shape: number, scale: number) =>
      observations.length === 0 ? 0 : plainLogLikelihood(observations, shape, scale)
    expectRelative(
      mean(posterior, ({ shape }) => Math.log(shape)),
      bruteForce(PRIOR, likelihood, (shape) => Math.log(shape)),
      1e-3,
    )
    expectRelative(
      mean(posterior, ({ scale }) => Math.log(scale)),
      bruteForce(PRIOR, likelihood, (_shape, scale) => Math.log(scale)),
      1e-4,
    )
    expectRelative(
      survivalAt(posterior, 130),
      bruteForce(PRIOR, likelihood, (shape, scale) => Math.exp(-((130 / scale) ** shape))),
      1e-3,
    )
  })

  test('a spell of unknown age enters by forward recurrence; without wear it is as good as new (memoryless)', () => {
    // Prior all but fixed at shape 1: ∫ₜ^∞ S / ∫₀^∞ S = S there, so the spell counts like a life of known age.
    const memoryless: WeibullPrior = { logShape: { mean: 0, sd: 1e-6 }, logScale: { mean: Math.log(100), sd: 0.8 } }
    const spell = posteriorLife(own([], { lower: 60, upper: 74 }), memoryless)
    const life = posteriorLife(own([{ lower: 60, upper: 74 }]), memoryless)
    expectRelative(quantileOf(spell, 0.5), quantileOf(life, 0.5), 1e-4)
    // With wear, what is left of an old part tells of a longer life than the same span of a new one.
    const worn = posteriorLife(own([], { lower: 60, upper: 74 }), PRIOR)
    expect(quantileOf(worn, 0.5)).toBeGreaterThan(
      1.15 * quantileOf(posteriorLife(own([{ lower: 60, upper: 74 }]), PRIOR), 0.5),
    )
  })

  test('forward recurrence agrees with ∫ S by trapezoids in the rectangle sum', () => {
    const recurrence = (shape: number, scale: number) => {
      const tail = (from: number) => {
        let sum = 0
        const step = scale / 40
        for (let t = from; t < scale * 8; t += step) sum += step * Math.exp(-(((t + step / 2) / scale) ** shape))
        return sum
      }
      return Math.log((tail(60) - tail(74)) / tail(0))
    }
    const coarse: WeibullPrior = { logShape: { mean: 0.6, sd: 0.2 }, logScale: { mean: Math.log(100), sd: 0.4 } }
    expectRelative(
      mean(posteriorLife(own([], { lower: 60, upper: 74 }), coarse), ({ scale }) => Math.log(scale)),
      bruteForce(coarse, recurrence, (_, scale) => Math.log(scale), 0.15),
      2e-3,
    )
  })

  test('much data drown the prior: the maximum-likelihood fit comes out', () => {
    const random = seededRandom(3)
    const lives = Array.from({ length: 800 }, () => sampleLife({ shape: 3, scale: 60 }, random)).map((life) => ({
      lower: Math.floor(life / 7) * 7,
      upper: Math.floor(life / 7) * 7 + 7,
    }))
    const fit = fitWeibull(lives)
    const posterior = posteriorLife(own(lives), PRIOR)
    expectRelative(
      mean(posterior, ({ shape }) => shape),
      fit.shape,
      0.01,
    )
    expectRelative(
      mean(posterior, ({ scale }) => scale),
      fit.scale,
      0.01,
    )
  })
})

/** Tanks whose scales differ by a known spread, all looked at every 14 days. */
function simulatedTanks(
  count: number,
  frailtySd: number,
  seed: number,
): { histories: LifeHistory[]; scales: number[] } {
  const random = seededRandom(seed)
  const scales: number[] = []
  const histories = Array.from({ length: count }, (_, i) => {
    const normal = Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
    const scale = 100 * Math.exp(frailtySd * normal)
    scales.push(scale)
    const observations: Observation[] = []
    for (let elapsed = 0; elapsed < 900; ) {
      const found = (Math.floor(sampleLife({ shape: 2.5, scale }, random) / 14) + 1) * 14
      elapsed += found
      observations.push(
        elapsed <= 900
          ? { lower: found - 14, upper: found }
          : { lower: Math.max(14, found - 14 - (elapsed - 900)), upper: Infinity },
      )
    }
    return { tank: `tank ${i}`, device: 'pump', observations }
  })
  return { histories, scales }
}

describe('fitLifeModel', () => {
  test('finds shape, scale and spread between tanks that made the data', () => {
    const { histories } = simulatedTanks(60, 0.4, 8)
    const model = fitLifeModel(histories, PRIOR)
    const typical = (f: (point: (typeof model.population)[number]) => number) =>
      model.population.reduce((sum, point) => sum + point.weight * f(point), 0)
    // Posterior standard deviations are about 0.03, 0.06 and 0.05 here; the bounds are three of each.
    expect(Math.abs(typical(({ logShape }) => logShape) - Math.log(2.5))).toBeLessThan(0.15)
    expect(Math.abs(typical(({ logScale }) => logScale) - Math.log(100))).toBeLessThan(0.2)
    expect(Math.abs(typical(({ frailtySd }) => frailtySd) - 0.4)).toBeLessThan(0.15)
    expect(model.population.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 9)
  })

  test('ignoring the tanks drags the plain shape down; the model does not fall for it', () => {
    const { histories } = simulatedTanks(40, 0.7, 9)
    const plain = fitWeibull(histories.flatMap(({ observations }) => observations)).shape
    const model = fitLifeModel(histories, PRIOR)
    const shape = Math.exp(model.population.reduce((sum, { weight, logShape }) => sum + weight * logShape, 0))
    expect(plain).toBeLessThan(2)
    expect(shape).toBeGreaterThan(2.1)
  })

  test('is plain data, the same for the same input, also through JSON', () => {
    const { histories } = simulatedTanks(8, 0.3, 10)
    const model = fitLifeModel(histories, PRIOR)
    expect(fitLifeModel(histories, PRIOR)).toEqual(model)
    const read = JSON.parse(JSON.stringify(model))
    expect(read).toEqual(model)
    expect(posteriorLife(own([{ lower: 14, upper: 28 }]), read)).toEqual(
      posteriorLife(own([{ lower: 14, upper: 28 }]), model),
    )
  })

  test('a tank without lives of its own gets the business; one with lives moves towards them; a new tank is wider than a known one', () => {
    const { histories, scales } = simulatedTanks(40, 0.5, 11)
    const model = fitLifeModel(histories, PRIOR)
    const worst = scales.indexOf(Math.min(...scales))
    const history = histories[worst]
    if (!history) throw new Error('no history')
    const fresh = posteriorLife({ tank: 'new', device: 'pump', observations: [] }, model)
    const known = posteriorLife(history, model)
    const spread = (posterior: LifePosterior) => {
      const centre = mean(posterior, ({ scale }) => Math.log(scale))
      return Math.sqrt(mean(posterior, ({ scale }) => (Math.log(scale) - centre) ** 2))
    }
    expect(quantileOf(known, 0.5)).toBeLessThan(0.7 * quantileOf(fresh, 0.5))
    expect(spread(known)).toBeLessThan(spread(fresh))
    expect(Math.abs(Math.log(mean(known, ({ scale }) => scale) / (scales[worst] ?? 1)))).toBeLessThan(0.4)
  })

  test('without any history it is the prior', () => {
    const model = fitLifeModel([], PRIOR)
    const logScale = model.population.reduce((sum, point) => sum + point.weight * point.logScale, 0)
    const variance = model.population.reduce((sum, point) => sum + point.weight * (point.logScale - logScale) ** 2, 0)
    expect(Math.abs(logScale - PRIOR.logScale.mean)).toBeLessThan(0.02)
    expectRelative(Math.sqrt(variance), PRIOR.logScale.sd, 0.05)
  })

  test('devices of one tank share its deviation', () => {
    const { histories } = simulatedTanks(20, 0.5, 12)
    const model = fitLifeModel(histories, PRIOR)
    const short: Observation[] = Array.from({ length: 6 }, () => ({ lower: 14, upper: 28 }))
    const alone = posteriorLife({ tank: 'b', device: 'two', observations: [] }, model)
    const beside = posteriorLife(
      [
        { tank: 'b', device: 'one', observations: short },
        { tank: 'b', device: 'two', observations: [] },
      ],
      model,
    )
    expect(quantileOf(beside, 0.5)).toBeLessThan(0.6 * quantileOf(alone, 0.5))
  })

  test('refuses bad priors, mixed tanks and unreadable models', () => {
    expect(() => fitLifeModel([], { ...PRIOR, correlation: 1 })).toThrow(RangeError)
    expect(() => posteriorLife([own([]), { ...own([]), tank: 'b' }], PRIOR)).toThrow(/one tank/)
    expect(() => posteriorLife([], PRIOR)).toThrow(RangeError)
    expect(() => posteriorLife(own([], { lower: 5, upper: 4 }), PRIOR)).toThrow(/unknown age/)
  })
})

test('any history gives finite answers, also where its unit of time is a million times off', () => {
  const random = seededRandom(9)
  for (let run = 0; run < 30; run++) {
    const typical = 120 * 10 ** (12 * random() - 6)
    const histories = Array.from(
      { length: 1 + Math.floor(random() * 4) },
      (_, i): LifeHistory => ({
        tank: `tank ${i}`,
        device: 'pump',
        observations: Array.from({ length: Math.floor(random() * 6) }, (): Observation => {
          const lower = typical * (random() + 1e-9)
          const upper = lower * (1 + random() + 1e-9)
          const kind = Math.floor(random() * 5)
          if (kind === 0) return { lower, upper: lower }
          if (kind === 1) return { lower, upper: Infinity }
          if (kind === 2) return { lower: 0, upper }
          return { lower, upper, truncatedAt: kind === 3 ? lower * random() : 0 }
        }),
        ...(random() < 0.5
          ? { unknownAge: { lower: typical * random(), upper: random() < 0.5 ? Infinity : 3 * typical } }
          : {}),
      }),
    )
    const [first] = histories
    if (!first) continue
    for (const posterior of [posteriorLife(first, fitLifeModel(histories, PRIOR)), posteriorLife(first, PRIOR)]) {
      expect(Number.isFinite(quantileOf(posterior, 0.5))).toBe(true)
      expect(Number.isFinite(survivalAt(posterior, typical))).toBe(true)
      expect(posterior.draws.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 9)
    }
  }
})

test('40 simulated businesses: the 90 % interval holds the truth in nine of ten (npm run calibrate does 2,000)', () => {
  const random = seededRandom(4)
  const summary = summariseCalibration(Array.from({ length: 40 }, () => calibrateOnce('stated', random)))
  // 40 businesses can tell 90 % from below 75 % only; the long run is the real judge.
  expect(summary.coverage90).toBeGreaterThanOrEqual(0.75)
  expect(summary.rankDistance).toBeLessThan(summary.rankBand)
  expect(summary.gainOverExponential.mean).toBeGreaterThan(0)
})

test('Gauss–Hermite: Abramowitz & Stegun table 25.10 for n = 5, and moments of e^(−x²) exactly', () => {
  const { nodes, weights } = gaussHermite(5)
  expectAllRelative(nodes.slice(3), [0.958572464613819, 2.020182870456086], 1e-12)
  expectAllRelative(weights.slice(2), [0.9453087204829419, 0.3936193231522412, 0.01995324205904591], 1e-12)
  const eighth = nodes.reduce((sum, x, i) => sum + (weights[i] ?? 0) * x ** 8, 0)
  expectRelative(eighth, (105 / 16) * Math.sqrt(Math.PI), 1e-12)
})
