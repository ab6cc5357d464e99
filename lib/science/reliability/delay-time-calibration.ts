import { fitDelayTime, inspectionOptions, type MeanDelayPrior } from './delay-time-fit'
import { type RandomSource, sampleLife } from './life-distribution'
import { RATE_SPREAD_PRIOR } from './rate-spread'

export type DelayCalibration = { meanDelay: boolean; defectRate: boolean; costRate: boolean }

const COSTS = { inspection: 60, defect: 40, failure: 250 }
const CADENCES = [7, 14, 28] as const
const MEAN_RATE = 0.03

/**
 * One simulated route whose truth is drawn from the stated priors (mean delay; spread of the rates about 0.03 a day), told defect by defect: whether the 90 % intervals of the
 * delay, of the first unit's rate and of its cost at an inspection every 28 days hold the truth. `random` gives uniform numbers in [0, 1).
 */
export function calibrateDelayOnce(
  random: RandomSource,
  prior: MeanDelayPrior,
  { units = 12, gaps = 10 }: { units?: number; gaps?: number } = {},
): DelayCalibration {
  const meanDelay = prior.median * Math.exp(prior.sdOfLog * normal(random))
  const shape = (RATE_SPREAD_PRIOR.median * Math.exp(RATE_SPREAD_PRIOR.sdOfLog * normal(random))) ** -2
  const truth = Array.from({ length: units }, (_, i) => {
    const rate = (gamma(random, shape) * MEAN_RATE) / shape
    const every = CADENCES[i % CADENCES.length] ?? 14
    return { unit: `unit ${i}`, rate, gaps: inspectUnit(random, { rate, meanDelay, every, gaps }) }
  })
  const fit = fitDelayTime(truth, prior)
  const [first] = fit.units
  const rate = truth[0]?.rate ?? 0
  const exact = inspectionOptions([{ defectRate: rate, meanDelay, weight: 1 }], COSTS, [28])[0]?.mean ?? 0
  const [option] = inspectionOptions(first?.draws ?? [], COSTS, [28])
  const holds = (interval: { lower: number; upper: number } | undefined, value: number) =>
    interval !== undefined && interval.lower <= value && value <= interval.upper
  return {
    meanDelay: holds(fit.meanDelay, meanDelay),
    defectRate: holds(first?.defectRate, rate),
    costRate: holds(option, exact),
  }
}

/** What inspections about every so many days find and miss: each defect has its own delay; the process itself, not the formula of the fit. */
export function inspectUnit(
  random: RandomSource,
  { rate, meanDelay, every, gaps }: { rate: number; meanDelay: number; every: number; gaps: number },
): { length: number; found: number; failed: number }[] {
  const exponential = (mean: number) => sampleLife({ shape: 1, scale: mean }, random)
  const made = Array.from({ length: gaps }, () => ({
    length: Math.max(1, Math.round(every * (0.8 + 0.4 * random()))),
    found: 0,
    failed: 0,
  }))
  for (const gap of made)
    for (let at = exponential(1 / rate); at < gap.length; at += exponential(1 / rate)) {
      if (at + exponential(meanDelay) < gap.length) gap.failed += 1
      else gap.found += 1
    }
  return made
}

function normal(random: RandomSource): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
}

/** Gamma by rejection (Marsaglia & Tsang 2000, ACM Trans. Math. Softw. 26: 363–372). */
function gamma(random: RandomSource, shape: number): number {
  if (shape < 1) return gamma(random, shape + 1) * (1 - random()) ** (1 / shape)
  const d = shape - 1 / 3
  for (;;) {
    const x = normal(random)
    const v = (1 + x / Math.sqrt(9 * d)) ** 3
    if (v > 0 && Math.log(1 - random()) < (x * x) / 2 + d - d * v + d * Math.log(v)) return d * v
  }
}
