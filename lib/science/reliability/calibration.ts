import { inverseIncompleteGamma, normalQuantile } from '@/lib/science/special-functions'
import { type RandomSource, sampleLife, survivalAt, type WeibullParameters } from './life-distribution'
import type { LifeHistory, WeibullPrior } from './life-history'
import { FRAILTY_PRIOR, fitLifeModel, type LifeModel, thinLifeModel } from './life-model'
import { posteriorLife } from './life-posterior'
import type { Observation } from './observation'

/** Truths drawn from the prior that the model states; the same for every calibration, so that its figures can be compared. Ages in days. */
export const CALIBRATION_PRIOR: WeibullPrior = {
  logShape: { mean: Math.log(2), sd: 0.35 },
  logScale: { mean: Math.log(120), sd: 0.6 },
  correlation: 0,
}

/**
 * 'stated': frailty and lives as the model assumes. 'misspecified': one tank in eight is worn out four times as soon instead of a normal deviation, and lives are
 * log-normal of the same median and spread.
 */
export type Truth = 'stated' | 'misspecified'

export type BusinessResult = {
  /** Where the true median life of the chosen tank lies among the posterior draws, 0 to 1. */
  rank: number
  covered90: boolean
  /** Log chance given to how the next life of the tank was seen to end. */
  score: { model: number; trade: number; exponential: number }
}

const normal = (random: RandomSource) => normalQuantile(Math.min(Math.max(random(), 1e-12), 1 - 1e-12))

type Tank = { median: number; life: (random: RandomSource) => number; residual: (random: RandomSource) => number }

function drawTanks(truth: Truth, random: RandomSource): Tank[] {
  const { logShape, logScale } = CALIBRATION_PRIOR
  const shape = Math.exp(logShape.mean + logShape.sd * normal(random))
  const businessLogScale = logScale.mean + logScale.sd * normal(random)
  const frailtySd = FRAILTY_PRIOR.median * Math.exp(FRAILTY_PRIOR.sdOfLog * normal(random))
  const count = 8 + Math.floor(random() * 18)
  return Array.from({ length: count }, () => {
    const deviation = truth === 'stated' ? frailtySd * normal(random) : random() < 1 / 8 ? -Math.log(4) : 0
    const parameters: WeibullParameters = { shape, scale: Math.exp(businessLogScale + deviation) }
    const median = parameters.scale * Math.LN2 ** (1 / shape)
    const life = (source: RandomSource) =>
      truth === 'stated' ? sampleLife(parameters, source) : median * Math.exp((1.28 / shape) * normal(source))
    // Met at a random moment: (what is left / scale)^shape is Gamma(1 / shape).
    const residual = (source: RandomSource) =>
      truth === 'stated'
        ? parameters.scale * inverseIncompleteGamma(1 / shape, source(), 'lower') ** (1 / shape)
        : life(source) * source()
    return { median, life, residual }
  })
}

/** Watches one tank over a period: visits on a beat of its own, one need in five reported on its day, now and then a planned renewal. */
function watch(tank: Tank, name: string, days: number, random: RandomSource): LifeHistory {
  const every = [7, 14, 28][Math.floor(random() * 3)] ?? 14
  // Planned without knowing the tank: a plan that knew its true median would tell more than the model is told.
  const plannedAge = random() < 0.3 ? Math.exp(CALIBRATION_PRIOR.logScale.mean) * (0.4 + 1.2 * random()) : Infinity
  const observations: Observation[] = []
  const residual = tank.residual(random)
  const first = look(residual, every, 0, days, random)
  const history: LifeHistory = {
    tank: name,
    device: 'one',
    observations,
    unknownAge: { lower: first.lower, upper: first.upper },
  }
  if (first.lower === 0 && first.upper === Infinity) delete history.unknownAge
  let renewed = first.renewed
  while (renewed < days) {
    const need = tank.life(random)
    const plannedVisit = Math.ceil(plannedAge / every) * every
    const seen = look(need, every, renewed, days, random)
    if (plannedVisit < seen.renewed - renewed && renewed + plannedVisit <= days) {
      observations.push({ lower: plannedVisit, upper: Infinity })
      renewed += plannedVisit
    } else {
      if (!(seen.lower === 0 && seen.upper === Infinity)) observations.push({ lower: seen.lower, upper: seen.upper })
      renewed = seen.renewed
    }
  }
  return history
}

/** How a need `life` days after `renewed` comes to light before the end of the watch. */
function look(life: number, every: number, renewed: number, days: number, random: RandomSource) {
  const found = (Math.floor(life / every) + 1) * every
  const end = days - renewed
  const reported = random() < 0.2
  if (reported && life > 0 && life <= end) return { lower: life, upper: life, renewed: renewed + life }
  // One that would have been reported has lasted to the very end, not only to the last look.
  if (reported) return { lower: end, upper: Infinity, renewed: Infinity }
  if (found <= end) return { lower: found - every, upper: found, renewed: renewed + found }
  return { lower: Math.max(0, Math.floor(end / every) * every), upper: Infinity, renewed: Infinity }
}

/**
 * One simulated business: fit on all its tanks, judge the interval of one of them and how well its next life was foretold.
 * `kept`: explored and kept at these numbers of points, as the nightly models are; in full where absent.
 */
export function calibrateOnce(
  truth: Truth,
  random: RandomSource,
  kept?: { explored: number; points: number },
): BusinessResult {
  const tanks = drawTanks(truth, random)
  const days = 400 + 500 * random()
  const histories = tanks.map((tank, i) => watch(tank, `tank ${i}`, days, random))
  const chosen = Math.floor(random() * tanks.length)
  const tank = tanks[chosen]
  const own = histories[chosen]
  if (!tank || !own) throw new RangeError('a simulated business must have tanks')
  const model: LifeModel = kept
    ? thinLifeModel(fitLifeModel(histories, CALIBRATION_PRIOR, { points: kept.explored }), kept.points)
    : fitLifeModel(histories, CALIBRATION_PRIOR)
  const posterior = posteriorLife(own, model)
  let rank = 0
  for (const { shape, scale, weight } of posterior.draws) {
    const median = scale * Math.LN2 ** (1 / shape)
    rank += median < tank.median ? weight : median === tank.median ? weight / 2 : 0
  }
  const next = look(tank.life(random), 14, 0, Infinity, () => 1)
  const chance = (survival: (t: number) => number) =>
    Math.log(Math.max(survival(next.lower) - survival(next.upper), 1e-300))
  const trade = { shape: Math.exp(CALIBRATION_PRIOR.logShape.mean), scale: Math.exp(CALIBRATION_PRIOR.logScale.mean) }
  const rate = pooledRate(histories)
  return {
    rank,
    covered90: rank >= 0.05 && rank <= 0.95,
    score: {
      model: chance((t) => survivalAt(posterior, t)),
      trade: chance((t) => survivalAt(trade, t)),
      exponential: chance((t) => Math.exp(-rate * t)),
    },
  }
}

/** The exponential baseline: (events + ½) / exposure over all lives, an interval counting its middle. */
function pooledRate(histories: readonly LifeHistory[]): number {
  let events = 0.5
  let exposure = 0
  for (const { observations, unknownAge } of histories) {
    for (const { lower, upper } of unknownAge ? [...observations, unknownAge] : observations) {
      if (upper < Infinity) events++
      exposure += upper < Infinity ? (lower + upper) / 2 : lower
    }
  }
  return events / Math.max(exposure, 1)
}

export type CalibrationSummary = {
  businesses: number
  coverage90: number
  coverageError: number
  /** Greatest distance of the ranks' distribution from uniform, and the simultaneous 99 % band (Dvoretzky–Kiefer–Wolfowitz). */
  rankDistance: number
  rankBand: number
  /** Mean gain in log score over the baselines, with standard error. */
  gainOverTrade: { mean: number; error: number }
  gainOverExponential: { mean: number; error: number }
}

/**
 * Sums up simulated businesses: with truths from the stated prior the 90 % interval must hold 90 % of them and the ranks must be uniform.
 * Source: Talts et al. 2018, arXiv 1804.06788 (simulation-based calibration); Massart 1990, Ann. Probab. 18: 1269–1283 (band).
 */
export function summariseCalibration(results: readonly BusinessResult[]): CalibrationSummary {
  const n = results.length
  if (n < 2) throw new RangeError('at least two simulated businesses are needed')
  const coverage90 = results.filter(({ covered90 }) => covered90).length / n
  const ranks = results.map(({ rank }) => rank).sort((one, other) => one - other)
  const rankDistance = ranks.reduce(
    (most, rank, i) => Math.max(most, Math.abs(rank - i / n), Math.abs(rank - (i + 1) / n)),
    0,
  )
  const gain = (baseline: 'trade' | 'exponential') => {
    const gains = results.map(({ score }) => score.model - score[baseline])
    const mean = gains.reduce((sum, value) => sum + value, 0) / n
    const variance = gains.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1)
    return { mean, error: Math.sqrt(variance / n) }
  }
  return {
    businesses: n,
    coverage90,
    coverageError: Math.sqrt((0.9 * 0.1) / n),
    rankDistance,
    rankBand: Math.sqrt(Math.log(2 / 0.01) / (2 * n)),
    gainOverTrade: gain('trade'),
    gainOverExponential: gain('exponential'),
  }
}
