import type { LifeHistory, WeibullPrior } from './life-history'
import { checkPrior, frailtyDraws, fromStandard, type LifeModel, systematic } from './life-model'
import { posteriorMode } from './posterior-mode'
import { cholesky } from './symmetric-matrix'
import { layOutTank, tankAtShape, tankTerms } from './tank-likelihood'

export type LifePosterior = { draws: { shape: number; scale: number; weight: number }[] }

/** Grid about the posterior's mode: this many local standard deviations each way, this far apart. Beyond it a normal prior leaves less than 1 part in 10⁸. */
const GRID_REACH = 7
const GRID_STEP = 0.35
/** Draws of less weight than this part of the greatest are dropped. */
const NEGLIGIBLE = 1e-6
/** From a model this many draws are handed on, enough to place a quantile to a quarter of a percent and quick to use for every lane. */
const DRAWS_KEPT = 400
/** Golden ratio, whose multiples fill 0 to 1 most evenly. */
const GOLDEN = (Math.sqrt(5) - 1) / 2

/**
 * What is known of the life of one device in one tank: its own history weighed with a plain prior (one life for the device) or with the business's model (shape and typical scale
 * from all tanks, this tank's deviation from its own lives). Give all histories of a tank at once where it has several devices. The draws are weighted points, the same for
 * the same input, weights summing to 1; feed them to `survivalAt`, `quantileOf`, `conditionalQuantile`, `visitReplacement`.
 * With a model: a tank that the model has seen keeps the model's population (its lives are in it already); for a new tank the population is re-weighed by how well it foretells its lives.
 * Units: those of the prior's log scale. `draws`: how many are handed on from a model, 400 unless given. Errors: RangeError on bad input.
 * Source: Gelman et al. 2013, Bayesian Data Analysis, ch. 3 (grid) and 5 (hierarchy).
 * @example posteriorLife({ tank: 'a', device: 'p', observations: [{ lower: 90, upper: 104 }] }, { logShape: { mean: 0.6, sd: 0.3 }, logScale: { mean: 4.5, sd: 0.7 } })
 */
export function posteriorLife(
  own: LifeHistory | readonly LifeHistory[],
  prior: WeibullPrior | LifeModel,
  { draws = DRAWS_KEPT }: { draws?: number } = {},
): LifePosterior {
  const histories: readonly LifeHistory[] = 'tank' in own ? [own] : own
  const first = histories[0]
  if (!first) throw new RangeError('at least one history is needed; it may be without observations')
  if (histories.some(({ tank }) => tank !== first.tank)) throw new RangeError('the histories must be of one tank')
  return 'population' in prior ? fromModel(histories, first.tank, prior, draws) : fromPrior(histories, prior)
}

function fromPrior(histories: readonly LifeHistory[], prior: WeibullPrior): LifePosterior {
  checkPrior(prior)
  const unit = Math.exp(prior.logScale.mean)
  const data = layOutTank(histories, unit)
  const logPosterior = (u: Float64Array) => {
    const [first = 0, second = 0] = u
    const { logShape, relativeLogScale } = fromStandard(prior, first, second)
    return (
      -(first * first + second * second) / 2 + tankTerms(tankAtShape(data, Math.exp(logShape)), relativeLogScale).value
    )
  }
  const mode = posteriorMode(logPosterior, new Float64Array(2))
  const factor = cholesky(mode.covariance, 2) ?? Float64Array.of(1, 0, 0, 1)
  const [spread = 1, , lean = 0, rest = 1] = factor
  const points: { logShape: number; relativeLogScale: number; log: number }[] = []
  for (let x = -GRID_REACH; x <= GRID_REACH; x += GRID_STEP) {
    for (let y = -GRID_REACH; y <= GRID_REACH; y += GRID_STEP) {
      const u = Float64Array.of((mode.at[0] ?? 0) + spread * x, (mode.at[1] ?? 0) + lean * x + rest * y)
      points.push({ ...fromStandard(prior, u[0] ?? 0, u[1] ?? 0), log: logPosterior(u) })
    }
  }
  return weigh(
    points.map(({ logShape, relativeLogScale, log }) => ({
      shape: Math.exp(logShape),
      scale: unit * Math.exp(relativeLogScale),
      log,
    })),
  )
}

function fromModel(histories: readonly LifeHistory[], tank: string, model: LifeModel, count: number): LifePosterior {
  if (model.kind !== 'weibull-frailty' || model.version !== 1 || model.population.length === 0) {
    throw new RangeError(`this life model (${model.kind}, version ${model.version}) cannot be read; fit it anew`)
  }
  const known = model.tanks.includes(tank)
  const unit = Math.exp(model.population[0]?.logScale ?? 0)
  const data = layOutTank(histories, unit)
  let start = 0
  const points = model.population.flatMap(({ logShape, logScale, frailtySd, weight }, index) => {
    const shape = Math.exp(logShape)
    const relative = logScale - Math.log(unit)
    const found = frailtyDraws(data, shape, relative, frailtySd, start, (0.5 + index * GOLDEN) % 1)
    start = found.mode
    const base = Math.log(weight) + (known ? 0 : found.logMarginal)
    return found.draws.map(({ deviation, logWeight }) => ({
      shape,
      scale: unit * Math.exp(relative + deviation),
      log: base + logWeight,
    }))
  })
  return thin(weigh(points), count)
}

/** Systematic resampling along the order of median lives: every draw stands for the same share, and none is left to chance. */
function thin({ draws }: LifePosterior, count: number): LifePosterior {
  if (draws.length <= count) return { draws }
  const logMedian = ({ shape, scale }: { shape: number; scale: number }) => Math.log(scale) + Math.log(Math.LN2) / shape
  const kept = systematic(
    draws.map((draw) => ({ draw, weight: draw.weight, order: logMedian(draw) })),
    count,
  )
  return { draws: kept.map(({ draw }) => ({ ...draw, weight: 1 / count })) }
}

function weigh(points: { shape: number; scale: number; log: number }[]): LifePosterior {
  const top = points.reduce((highest, { log }) => Math.max(highest, log), -Infinity)
  if (top === -Infinity) throw new RangeError('these lives are impossible under this prior; check their unit of time')
  const kept = points
    .map(({ shape, scale, log }) => ({ shape, scale, weight: Math.exp(log - top) }))
    .filter(({ weight }) => weight > NEGLIGIBLE)
  const total = kept.reduce((sum, { weight }) => sum + weight, 0)
  return { draws: kept.map((draw) => ({ ...draw, weight: draw.weight / total })) }
}
