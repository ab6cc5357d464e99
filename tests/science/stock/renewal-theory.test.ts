import { describe, expect, test } from 'vitest'
import { demandForecast, longRunDemand } from '@/lib/science'
import { logGamma } from '@/lib/science/special-functions'
import { poissonMass } from '@/lib/science/stock/poisson-demand'

const RUNS = 20_000
/** Four standard errors of a simulated mean. */
const slack = (variance: number) => 4 * Math.sqrt(variance / RUNS) + 1e-9
const gamma = (x: number) => Math.exp(logGamma(x))

/**
 * Expected renewals by time t of a Weibull renewal process, as the power series of Smith & Leadbetter 1963, "On the renewal function for the Weibull distribution", Technometrics
 * 5: 393–396 (recurrence from memory; its limits below are checked): Σ (−1)^(k−1) A_k t^(k·shape) / Γ(k·shape + 1), with a_k = Γ(k·shape + 1) / k! and A_k = a_k − Σ_{j<k} a_j A_{k−j}.
 */
function weibullRenewals(shape: number, t: number): number {
  const most = 60
  const a = Array.from({ length: most + 1 }, (_, k) => Math.exp(logGamma(k * shape + 1) - logGamma(k + 1)))
  const A: number[] = [0]
  let sum = 0
  for (let k = 1; k <= most; k++) {
    let value = a[k] ?? 0
    for (let j = 1; j < k; j++) value -= (a[j] ?? 0) * (A[k - j] ?? 0)
    A.push(value)
    const term = (value * t ** (k * shape)) / gamma(k * shape + 1)
    sum += k % 2 === 1 ? term : -term
    if (Math.abs(term) < 1e-12 && k > 5) break
  }
  return sum
}

describe('the forecast against renewal theory', () => {
  test('the series is right where the answer is known: shape 1 gives t, and a small t gives the chance of one renewal', () => {
    for (const t of [0.2, 1, 2]) expect(weibullRenewals(1, t)).toBeCloseTo(t, 8)
    expect(weibullRenewals(3, 0.1)).toBeCloseTo(1 - Math.exp(-(0.1 ** 3)), 6) // two at once: 5e-8
  })

  test.each([
    [1.5, 0.5],
    [1.5, 1.2],
    [2, 1],
    [3, 1],
    [0.8, 1],
  ])('a new part of shape %d: renewals by %d scales (Smith & Leadbetter)', (shape, t) => {
    const { mean, variance } = demandForecast([{ shape, scale: 100 }], t * 100, 11, { runs: RUNS })
    expect(Math.abs(mean - weibullRenewals(shape, t))).toBeLessThan(slack(variance))
  })

  // m(t) ≈ t/μ + (σ² − μ²) / (2μ²) for t large: Cox 1962, Renewal Theory, sec. 4.3; Barlow & Proschan 1965, ch. 3.
  test.each([0.9, 2, 4])('many renewals of shape %d: the straight line of Cox', (shape) => {
    const scale = 10
    const mu = scale * gamma(1 + 1 / shape)
    const sigma2 = scale ** 2 * gamma(1 + 2 / shape) - mu ** 2
    const { mean, variance } = demandForecast([{ shape, scale }], 400, 5, { runs: RUNS })
    expect(Math.abs(mean - (400 / mu + (sigma2 - mu ** 2) / (2 * mu ** 2)))).toBeLessThan(slack(variance))
  })

  test('parts that end by chance make Poisson demand, each number with its own probability', () => {
    const sources = [0, 20, 300].map((age) => ({ shape: 1, scale: 60, age }))
    const { probabilities } = demandForecast(sources, 80, 3, { runs: RUNS })
    for (let n = 0; n < 10; n++) {
      const expected = poissonMass(n, 4)
      expect(Math.abs((probabilities[n] ?? 0) - expected)).toBeLessThan(slack(expected * (1 - expected)))
    }
  })

  test('an old part: the chance of one need by the horizon is the conditional life', () => {
    const [shape, scale, age, horizon] = [3, 100, 80, 10]
    const expected = 1 - Math.exp((age / scale) ** shape - ((age + horizon) / scale) ** shape)
    const { probabilities } = demandForecast([{ shape, scale, age }], horizon, 9, { runs: RUNS })
    const needed = 1 - (probabilities[0] ?? 0)
    expect(Math.abs(needed - expected)).toBeLessThan(slack(expected * (1 - expected)))
  })

  test('what waits for visits is met at visits only: twenty socks planned and visited every fortnight need twenty, 522 a year', () => {
    const socks = Array.from({ length: 20 }, (_, n) => ({
      ...{ shape: 2.5, scale: 10, age: n % 14, renewAt: 14, notBefore: 14 - (n % 14), visitEvery: 14 },
    }))
    expect(demandForecast(socks, 14, 4).probabilities[20]).toBe(1)
    expect(socks.reduce((sum, sock) => sum + longRunDemand(sock), 0) * 365.25).toBeCloseTo((20 * 365.25) / 14, 8)
  })
  test('renewed when needed at visits 28 days apart: the mean time is 28 Σ S(28 j), in the long run as in the forecast', () => {
    const [shape, scale] = [2, 50]
    const mean = [0, 1, 2, 3, 4, 5, 6, 7, 8].reduce((sum, j) => sum + 28 * Math.exp(-(((28 * j) / scale) ** shape)), 0)
    const source = { shape, scale, visitEvery: 28 }
    expect(longRunDemand(source)).toBeCloseTo(1 / mean, 10)
    const years = 28 * 400
    const forecast = demandForecast([source], years, 8, { runs: 400 })
    expect(Math.abs(forecast.mean / (years / mean) - 1)).toBeLessThan(0.01)
  })
  test('uses of several at a time: 8 uses of 5 in a year ask for more than 40 single ones, and their sum is the same', () => {
    const single = demandForecast([{ count: 40, exposure: 365 }], 14, 5, { runs: RUNS })
    const fives = demandForecast([{ count: 8, exposure: 365, quantity: 5 }], 14, 5, { runs: RUNS })
    expect(longRunDemand({ count: 8, exposure: 365, quantity: 5 }) * 365).toBeCloseTo(42.5, 10)
    // Gamma–Poisson by hand: the chance of none in 14 days is (365 / 379)^8.5 = 0.727.
    expect(Math.abs((fives.probabilities[0] ?? 0) - 0.727)).toBeLessThan(0.02)
    expect(fives.variance).toBeGreaterThan(3 * single.variance)
  })

  test('a need since the last look is met at once, and nothing before the next visit', () => {
    const [shape, scale] = [3, 100]
    const source = { shape, scale, age: 90, okAge: 60 }
    const missed = 1 - Math.exp((60 / scale) ** shape - (90 / scale) ** shape)
    const today = demandForecast([source], 0, 2, { runs: RUNS })
    expect(Math.abs(1 - (today.probabilities[0] ?? 0) - missed)).toBeLessThan(slack(missed * (1 - missed)))
    expect(demandForecast([{ ...source, notBefore: 5 }], 4, 2).probabilities).toEqual([1])
    const laterSeen = demandForecast([{ ...source, notBefore: 5 }], 5, 2, { runs: RUNS })
    expect(laterSeen.mean).toBeGreaterThan(today.mean)
  })

  test('used without any life behind it: negative binomial with the count’s own doubt', () => {
    const { mean, variance } = demandForecast([{ count: 6, exposure: 365 }], 73, 4, { runs: RUNS })
    const expected = (6.5 / 365) * 73
    expect(Math.abs(mean - expected)).toBeLessThan(slack(expected * 1.2))
    // Variance of a Gamma–Poisson: mean · (1 + horizon / exposure).
    expect(Math.abs(variance / (expected * 1.2) - 1)).toBeLessThan(0.08)
  })

  test('two at a time come in twos, and thousandths of a litre add up', () => {
    const { probabilities } = demandForecast([{ shape: 2, scale: 50, quantity: 2 }], 60, 1)
    expect(probabilities.filter((_, n) => n % 2 === 1).every((chance) => chance === 0)).toBe(true)
    const third = { shape: 9, scale: 1e6, age: 10, renewAt: 5, quantity: 0.1 }
    expect(demandForecast([third, third, third], 1, 1).probabilities[1]).toBe(1)
  })

  test('the long run is one over the mean time between renewals', () => {
    expect(longRunDemand({ shape: 1, scale: 50 })).toBeCloseTo(0.02, 12)
    const planned = { shape: 2.5, scale: 300, renewAt: 200, quantity: 2 }
    const many = demandForecast([planned], 60_000, 8, { runs: 400 })
    expect(Math.abs(many.mean / 60_000 / longRunDemand(planned) - 1)).toBeLessThan(0.01)
  })

  test('the draws of a posterior are weighed a few times, not once in each run', () => {
    let weighed = 0
    const draws = Array.from({ length: 1000 }, (_, n) => ({
      ...{ shape: 2, scale: 100 + n / 5 },
      get weight() {
        weighed++
        return 1
      },
    }))
    demandForecast([{ life: { draws }, age: 40 }], 30, 1, { runs: 500 })
    expect(weighed).toBeGreaterThanOrEqual(1000)
    expect(weighed).toBeLessThan(20 * 1000)
  })
})
