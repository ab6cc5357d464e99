import type { LifeMixture } from './life-distribution'
import type { LifeModel } from './life-model'

/**
 * How far a tank's life may be from the one that stands for it, as two standard deviations of its log median: `shared` is what the business does not know of the typical
 * life, by which all tanks are wrong together; `own` is what is particular to this tank. With V the variance over the population points, σ² that between tanks and Vₜ that of the tank's
 * own draws, a normal model gives Vₜ = u²·V + u·σ², where u is the weight the typical life still has at this tank; shared² = u²·V.
 * `draws`: the tank's posterior under this model. A tank without lives of its own has u = 1.
 * Units: none (logarithms). Errors: none beyond an empty set, which knows nothing and gives 0. Source: Gelman et al. 2013, Bayesian Data Analysis, ch. 5 (normal hierarchy).
 */
export function lifeSpreadOf(
  draws: LifeMixture['draws'],
  { population }: Pick<LifeModel, 'population'>,
): { shared: number; own: number } {
  const ofTank = varianceOf(
    draws.map(({ shape, scale, weight }) => ({ value: logMedian(shape, Math.log(scale)), weight })),
  )
  const typical = varianceOf(
    population.map(({ logShape, logScale, weight }) => ({ value: logMedian(Math.exp(logShape), logScale), weight })),
  )
  const between = meanOf(population.map(({ frailtySd, weight }) => ({ value: frailtySd ** 2, weight })))
  if (!(typical > 0)) return { shared: 0, own: Math.sqrt(ofTank) }
  const weightOfTypical = (Math.sqrt(between ** 2 + 4 * typical * ofTank) - between) / (2 * typical)
  const shared = Math.min(weightOfTypical, 1) ** 2 * typical
  return { shared: Math.sqrt(shared), own: Math.sqrt(Math.max(0, ofTank - shared)) }
}

const logMedian = (shape: number, logScale: number) => logScale + Math.log(Math.LN2) / shape

type Weighted = { value: number; weight: number }[]

function meanOf(values: Weighted): number {
  const total = values.reduce((sum, { weight }) => sum + weight, 0)
  return total > 0 ? values.reduce((sum, { value, weight }) => sum + value * weight, 0) / total : 0
}

function varianceOf(values: Weighted): number {
  const mean = meanOf(values)
  return meanOf(values.map(({ value, weight }) => ({ value: (value - mean) ** 2, weight })))
}
