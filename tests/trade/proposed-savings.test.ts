// Whether the limits of a saving hold, also of those savings that are proposed because they look large. Truth drawn from the stated prior; the posterior kept as the nightly job keeps it.
import { expect, test } from 'vitest'
import {
  FRAILTY_PRIOR,
  fitLifeModel,
  type LifeHistory,
  posteriorLife,
  seededRandom,
  thinLifeModel,
  visitPolicyCosts,
} from '@/lib/science'
import { normalQuantile } from '@/lib/science/special-functions'
import { adviseInterval, startingIntervalDays } from '@/lib/trade'

const PRIOR = { logShape: { mean: Math.log(2), sd: 0.3 }, logScale: { mean: Math.log(200), sd: 0.5 } }
const COSTS = { planned: 2000, found: 4000, callOut: 9000, hiddenCostPerDay: 50, shareReported: 0.2 }
const EVERY = 14
const WATCHED_DAYS = 500
const TANKS = 12
const BUSINESSES = 300
const DAYS_PER_YEAR = 365.25

/** Lives of one device, looked at every fortnight and renewed when found. */
function lookedAt(draw: () => number): LifeHistory['observations'] {
  const observations: { lower: number; upper: number }[] = []
  let start = 0
  for (;;) {
    const upper = Math.ceil(draw() / EVERY) * EVERY
    if (start + upper <= WATCHED_DAYS) observations.push({ lower: upper - EVERY, upper })
    else {
      const lower = Math.floor((WATCHED_DAYS - start) / EVERY) * EVERY
      if (lower > 0) observations.push({ lower, upper: Number.POSITIVE_INFINITY })
      return observations
    }
    start += upper
  }
}

test('the 9 in 10 of a saving hold about nine in ten, of those proposed too, and what is promised comes', () => {
  const random = seededRandom(2026)
  const normal = () => normalQuantile(Math.min(Math.max(random(), 1e-12), 1 - 1e-12))
  const inForceDays = startingIntervalDays({ life: { shape: 2, scale: 200 }, costs: COSTS, visitEveryDays: EVERY })
  const visits = (days: number) => (days === Number.POSITIVE_INFINITY ? days : Math.max(1, Math.round(days / EVERY)))
  const all = { count: 0, held: 0 }
  const proposed = { count: 0, held: 0, promised: 0, came: 0 }
  for (let business = 0; business < BUSINESSES; business++) {
    const shape = Math.exp(PRIOR.logShape.mean + PRIOR.logShape.sd * normal())
    const typical = Math.exp(PRIOR.logScale.mean + PRIOR.logScale.sd * normal())
    const frailtySd = FRAILTY_PRIOR.median * Math.exp(FRAILTY_PRIOR.sdOfLog * normal())
    const scales = Array.from({ length: TANKS }, () => typical * Math.exp(frailtySd * normal()))
    const histories = scales.map((scale, tank): LifeHistory => {
      const draw = () => scale * (-Math.log(1 - random())) ** (1 / shape)
      return { tank: `t${tank}`, device: 'd', observations: lookedAt(draw) }
    })
    const model = thinLifeModel(fitLifeModel(histories, PRIOR, { points: 128 }), 24)
    for (const [tank, history] of histories.entries()) {
      const { draws } = posteriorLife(history, model, { draws: 24 })
      const advice = adviseInterval({ life: { draws }, costs: COSTS, visitEveryDays: EVERY, inForceDays })
      if (advice.cheapestDays === inForceDays) continue
      const plans = [visits(inForceDays), visits(advice.cheapestDays)]
      const { means } = visitPolicyCosts({ shape, scale: scales[tank] ?? 1 }, { visitEvery: EVERY, ...COSTS }, plans)
      const came = ((means[0] ?? 0) - (means[1] ?? 0)) * DAYS_PER_YEAR
      const held = Number(advice.saving.lower <= came && came <= advice.saving.upper)
      all.count++
      all.held += held
      if (!advice.proposes) continue
      proposed.count++
      proposed.held += held
      proposed.promised += advice.saving.mean
      proposed.came += came
    }
  }
  const [ofAll, ofProposed] = [all.held / all.count, proposed.held / proposed.count]
  const kept = proposed.came / proposed.promised
  const words = `all ${(100 * ofAll).toFixed(1)} % of ${all.count}, proposed ${(100 * ofProposed).toFixed(1)} % of ${proposed.count}; of what was promised ${(100 * kept).toFixed(0)} % came`
  console.info(words)
  expect(ofAll, words).toBeGreaterThan(0.87)
  expect(ofAll, words).toBeLessThan(0.93)
  expect(ofProposed, words).toBeGreaterThan(0.86)
  expect(kept, words).toBeGreaterThan(0.9)
  expect(kept, words).toBeLessThan(1.1)
}, 60_000)
