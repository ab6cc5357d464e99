import { z } from 'zod'
import {
  conditionalQuantile,
  FRAILTY_PRIOR,
  fitLifeModel,
  fitWeibull,
  type LifeMixture,
  type LifeModel,
  lifeSpreadOf,
  NotEstimable,
  type NotEstimableCode,
  type Observation,
  posteriorLife,
  thinLifeModel,
} from '@/lib/science'
import { findMode, priorOf, weibullOf } from '@/lib/trade'
import { historiesOf, type LaneLesson } from './life-lessons'

/**
 * What a business knows of one class × mode beside the plain fit, as kept in `life_model.parameters`: the hierarchical life
 * model, how many needs the client told us first, and how things were done so far.
 */
const knowledgeSchema = z.object({
  model: z.object({
    kind: z.literal('weibull-frailty'),
    version: z.literal(1),
    population: z.array(
      z.object({ logShape: z.number(), logScale: z.number(), frailtySd: z.number(), weight: z.number() }),
    ),
    tanks: z.array(z.string()),
    lives: z.number(),
    events: z.number(),
  }),
  needs: z.number(),
  reported: z.number(),
  /** Median age at renewals without a need, days; null where there was hardly any; 0 renewals in all leave it unknown. */
  habitDays: z.number().nullable(),
  renewals: z.number(),
})
export type PairKnowledge = z.infer<typeof knowledgeSchema>

/** The pooled plain fit of one class × mode, or why there is none, with what else is known. */
export type PooledFit = {
  equipmentClass: string
  failureMode: string
  lives: number
  events: number
  shape: number | null
  scaleDays: number | null
  logLikelihood: number | null
  notEstimable: NotEstimableCode | null
  knowledge: PairKnowledge | null
}

/** Parameters of a stored model → what is known; null for one of an earlier day or an empty one. */
export function readKnowledge(parameters: unknown): PairKnowledge | null {
  const parsed = knowledgeSchema.safeParse(parameters)
  return parsed.success ? parsed.data : null
}

/** Fits one class × mode. In the plain fit lives of unknown age stay out (rule 10); the life model takes them in by forward recurrence. */
export function fitPooled(
  pair: { equipmentClass: string; failureMode: string },
  lessons: readonly LaneLesson[],
): PooledFit {
  const ordered = [...lessons].sort((a, b) => compare(a.tankId, b.tankId) || compare(a.equipmentId, b.equipmentId))
  const plain = ordered.flatMap((lesson) => lesson.observations)
  const counts = { ...pair, lives: plain.length, events: plain.filter((life) => life.event).length }
  const knowledge = ordered.length > 0 ? learn(pair.failureMode, ordered) : null
  const none = { ...counts, shape: null, scaleDays: null, logLikelihood: null, knowledge }
  if (plain.length === 0) return { ...none, notEstimable: 'no-events' }
  try {
    const fit = fitWeibull(inFixedOrder(plain.map(({ event: _, ...observation }) => observation)))
    return { ...none, shape: fit.shape, scaleDays: fit.scale, logLikelihood: fit.logLikelihood, notEstimable: null }
  } catch (error) {
    if (error instanceof NotEstimable) return { ...none, notEstimable: error.code }
    throw error
  }
}

/** Sums of floating point numbers depend on their order; the same lives must give the same bytes. */
function inFixedOrder(observations: Observation[]): Observation[] {
  return observations.sort(
    (a, b) => a.lower - b.lower || compare(a.upper, b.upper) || (a.truncatedAt ?? 0) - (b.truncatedAt ?? 0),
  )
}
function compare<T extends number | string>(a: T, b: T): number {
  return a === b ? 0 : a < b ? -1 : 1
}

/** A weak starting life for a mode that only this business knows: half need it within half a year, by chance. From memory. */
const OWN_MODE_START = { medianWeeks: 26, shape: 1 }

/**
 * How finely the nightly model is kept: the posterior of the population is explored at the first number of points and stored at
 * the second. A tank's own figures then move by less than 2 % on average against four hundred points (measured in a test).
 */
const POINTS_EXPLORED = 128
const POINTS_KEPT = 24
/** Lives that say what there is to say about a population; of a larger business an even choice of tanks is taken. */
const LIVES_ENOUGH = 2500
const TANKS_AT_LEAST = 150

function learn(failureMode: string, lessons: readonly LaneLesson[]): PairKnowledge {
  const chosen = evenChoice(lessons)
  const model = fitLifeModel(historiesOf(chosen), priorOf(findMode(failureMode) ?? OWN_MODE_START), {
    points: POINTS_EXPLORED,
  })
  const plannedAges = lessons.flatMap((lesson) => lesson.plannedAges).sort((a, b) => a - b)
  const renewals = lessons.reduce((sum, lesson) => sum + lesson.renewals, 0)
  return {
    model: rounded(thinLifeModel(model, POINTS_KEPT)),
    needs: lessons.reduce((sum, lesson) => sum + lesson.needs, 0),
    reported: lessons.reduce((sum, lesson) => sum + lesson.reported, 0),
    habitDays: habitOf(plannedAges, renewals),
    renewals,
  }
}

/** Tanks at even steps along their ids, which follow the time they came to us: neither the oldest nor the newest alone. */
function evenChoice(lessons: readonly LaneLesson[]): LaneLesson[] {
  const lives = lessons.reduce((sum, lesson) => sum + lesson.observations.length + lesson.unknownAges.length, 0)
  const tanks = [...new Set(lessons.map(({ tankId }) => tankId))]
  const wanted = Math.max(TANKS_AT_LEAST, Math.floor((tanks.length * LIVES_ENOUGH) / Math.max(1, lives)))
  if (tanks.length <= wanted) return [...lessons]
  const chosen = new Set(
    Array.from({ length: wanted }, (_, i) => tanks[Math.floor(((i + 0.5) * tanks.length) / wanted)]),
  )
  return lessons.filter(({ tankId }) => chosen.has(tankId))
}

/** Six figures are more than any life model knows; stored short. */
function rounded(model: LifeModel): LifeModel {
  const short = (value: number) => Number(value.toPrecision(7))
  return {
    ...model,
    population: model.population.map(({ logShape, logScale, frailtySd, weight }) => ({
      logShape: short(logShape),
      logScale: short(logScale),
      frailtySd: short(frailtySd),
      weight: short(weight),
    })),
  }
}

/** A way of doing things is a habit from this many renewals on, of which this share without a need. Common practice, no source. */
const RENEWALS_FOR_A_HABIT = 5
const SHARE_FOR_A_HABIT = 0.3

function habitOf(plannedAges: readonly number[], renewals: number): number | null {
  if (plannedAges.length < RENEWALS_FOR_A_HABIT || plannedAges.length < SHARE_FOR_A_HABIT * renewals) return null
  return plannedAges[Math.floor(plannedAges.length / 2)] ?? null
}

/** What was done so far, days; Infinity: only ever when needed; undefined: too little was renewed to tell. */
export function habitInDays(knowledge: PairKnowledge | null): number | undefined {
  if (!knowledge || knowledge.renewals < RENEWALS_FOR_A_HABIT) return undefined
  return knowledge.habitDays ?? Number.POSITIVE_INFINITY
}

export type ModelInUse = {
  /** One Weibull that stands for the life in sentences and forecasts: mean log shape, and the scale with the same median. */
  shape: number
  scaleDays: number
  source: 'own records' | 'own records and trade' | 'trade'
  /** The posterior itself, where the business has a life model. */
  draws?: LifeMixture['draws']
  /** The posterior at more draws, for what is looked at again every night until it once comes out: coarse draws would cross a limit by their own chance. */
  finer?: () => LifeMixture['draws']
  /** How far the one Weibull may be off: what all tanks share of it, and what is this tank's own; sd of the log. */
  spread: { shared: number; own: number }
}

/** From this many needs on the records speak louder than the trade's figures, and the page says so. Common practice, no source. */
const EVENTS_OF_OUR_OWN = 5
const DRAWS_IN_USE = 24
const DRAWS_BEFORE_ASKING = 192
const MEDIAN_WITHIN_DAYS = 0.25

/**
 * The life that due dates use for the devices of one class in one tank: the posterior trade → business → this tank, or the trade's figures
 * before the first life model. `lessons`: the lanes of this tank with this mode.
 */
export function modelInUse(
  failureMode: string,
  fit: Pick<PooledFit, 'knowledge'> | undefined,
  lessons: readonly LaneLesson[],
  { draws = DRAWS_IN_USE }: { draws?: number } = {},
): ModelInUse {
  const own = historiesOf(lessons)
  if (!fit?.knowledge || own.length === 0)
    return { ...startingLife(failureMode), source: 'trade', spread: startingSpread(failureMode) }
  const { model } = fit.knowledge
  const life = posteriorLife(own, model, { draws })
  return {
    ...representative(life.draws),
    source: sourceOf(fit.knowledge),
    draws: life.draws,
    finer: () => posteriorLife(own, model, { draws: DRAWS_BEFORE_ASKING }).draws,
    spread: lifeSpreadOf(life.draws, model),
  }
}

/** Whose word a model mostly is. */
export function sourceOf(knowledge: PairKnowledge | null): ModelInUse['source'] {
  const events = knowledge?.model.events ?? 0
  if (events >= EVENTS_OF_OUR_OWN) return 'own records'
  return events > 0 ? 'own records and trade' : 'trade'
}

/** The trade's own figures for a mode, or a weak start for one that only this business knows. */
export function startingLife(failureMode: string): { shape: number; scaleDays: number } {
  return weibullOf(findMode(failureMode) ?? OWN_MODE_START)
}

/** How far the trade's own figures may be off: its prior, and what tanks of one kind usually differ by. */
export function startingSpread(failureMode: string): ModelInUse['spread'] {
  return { shared: priorOf(findMode(failureMode) ?? OWN_MODE_START).logScale.sd, own: FRAILTY_PRIOR.median }
}

function representative(draws: LifeMixture['draws']): { shape: number; scaleDays: number } {
  let total = 0
  let logShape = 0
  for (const draw of draws) {
    total += draw.weight
    logShape += draw.weight * Math.log(draw.shape)
  }
  const shape = Math.exp(logShape / total)
  const median = conditionalQuantile({ draws }, 0, 0.5, { within: MEDIAN_WITHIN_DAYS })
  return { shape, scaleDays: median / Math.LN2 ** (1 / shape) }
}
