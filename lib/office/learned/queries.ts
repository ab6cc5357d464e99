import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Drivers, findDrivers, findMode } from '@/lib/trade'
import { ownNames } from '../due/queries'
import { type Actor, inBusiness } from '../frame/actor'
import { answerTo, type Question } from '../frame/stored-answer'
import { classWords, modeWords } from '../lanes/lane-views'
import { type LifeCurves, lifeCurves } from '../lanes/life-curves'
import { type PairKnowledge, readKnowledge, sourceOf, startingLife } from '../lanes/life-models'
import { type Interval, shapeWords, typicalLife } from '../lanes/life-words'
import { pairKey } from '../lanes/pair-key'
import { namesOfPeople, readPairLives, withSurroundings } from './read-driver-lives'

export type LearnedRow = {
  equipmentClass: string
  failureMode: string
  className: string
  modeName: string
  lives: number
  events: number
  source: 'own records' | 'own records and trade' | 'trade'
  /** Days, of a typical tank; with an interval where a life model is stored. */
  medianDays: Interval | null
  shape: number
  shapeWords: ReturnType<typeof shapeWords>
}
export type LearnedList = { version: number | null; madeOn: string | null; cutoffOn: string | null; rows: LearnedRow[] }

const dayText = (date: Date) => date.toISOString().slice(0, 10)

/** What is known of each class × mode at the newest version of the life models, those with most needs first. */
export function learned(actor: Actor): Promise<LearnedList> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const newest = await tx.lifeModel.findFirst({ where: { businessId }, orderBy: { version: 'desc' } })
    if (!newest) return { version: null, madeOn: null, cutoffOn: null, rows: [] }
    const models = await tx.lifeModel.findMany({
      where: { businessId, version: newest.version, lives: { gt: 0 } },
      orderBy: [{ events: 'desc' }, { equipmentClass: 'asc' }, { failureMode: 'asc' }],
    })
    const names = await ownNames(tx, businessId)
    return {
      version: newest.version,
      madeOn: dayText(newest.madeAt),
      cutoffOn: dayText(newest.cutoffOn),
      rows: models.map((model) => rowOf(model, names)),
    }
  })
}

type ModelRow = {
  equipmentClass: string
  failureMode: string
  lives: number
  events: number
  shape: number | null
  scaleDays: number | null
  parameters: unknown
}

function rowOf(model: ModelRow, names: ReadonlyMap<string, string>): LearnedRow {
  const { equipmentClass, failureMode, lives, events } = model
  const knowledge = readKnowledge(model.parameters)
  const known = figuresOf(model, knowledge)
  return {
    ...{ equipmentClass, failureMode, lives, events },
    className: classWords(equipmentClass, names),
    modeName: modeWords(failureMode, names),
    source: sourceOf(knowledge),
    medianDays: known.medianDays,
    shape: known.shape,
    shapeWords: shapeWords(known.shape),
  }
}

/** From the stored life model, else the plain fit without an interval, else the trade's figures. */
function figuresOf(model: ModelRow, knowledge: PairKnowledge | null): { medianDays: Interval | null; shape: number } {
  if (knowledge) {
    const { medianDays, shape } = typicalLife(knowledge.model)
    return { medianDays, shape: shape.median }
  }
  return { medianDays: null, shape: model.shape ?? startingLife(model.failureMode).shape }
}

export type LearnedPair = LearnedRow & {
  version: number
  madeOn: string
  cutoffOn: string
  locale: string
  /** With a life of it; null: not counted yet. */
  tanks: number | null
  sign: string
  lookNeeded: string | null
  shapeInterval: Interval | null
  /** Null: not worked out yet. */
  curves: LifeCurves | null
  drivers: Drivers | null
  /** Median weeks of a typical tank by version, oldest first, thinned. */
  trend: { date: string; value: number; version: number }[]
}

const VERSIONS_SHOWN = 24

type Pair = { equipmentClass: string; failureMode: string }
type ReadFromLives = { tanks: number; curves: LifeCurves; drivers: Drivers }

/** What every life of a class × mode says together, by `pairKey`; of one pair where only that is asked. */
export const LEARNED_PAIRS: Question<Record<string, ReadFromLives>, Pair> = {
  name: 'learned-pairs',
  shape: 1,
  freshForMs: 36 * 3_600_000,
  workOut: async (tx, businessId, _now, only) => {
    const pairs =
      only === undefined
        ? await tx.lifeModel.findMany({
            where: { businessId },
            distinct: ['equipmentClass', 'failureMode'],
            select: { equipmentClass: true, failureMode: true },
          })
        : [only]
    const known: Record<string, ReadFromLives> = {}
    for (const pair of pairs) known[pairKey(pair)] = await readFromLives(tx, businessId, pair)
    return known
  },
}

async function readFromLives(tx: Transaction, businessId: string, pair: Pair): Promise<ReadFromLives> {
  const model = await tx.lifeModel.findFirst({ where: { businessId, ...pair }, orderBy: { version: 'desc' } })
  const start = startingLife(pair.failureMode)
  const fitted = { shape: model?.shape ?? start.shape, scale: model?.scaleDays ?? start.scaleDays }
  const lives = await readPairLives(tx, businessId, pair)
  const around = await withSurroundings(tx, businessId, pair, lives)
  const nameOf = await namesOfPeople(tx, businessId, around)
  return {
    tanks: new Set(lives.map(({ tankId }) => tankId)).size,
    curves: lifeCurves(fitted, lives),
    drivers: withoutIdle(findDrivers(around, nameOf)),
  }
}

/** All that is known of one class × mode. Null when no model has seen it. */
export function learnedOf(
  actor: Actor,
  equipmentClass: string,
  failureMode: string,
  now: Date,
): Promise<LearnedPair | null> {
  const { businessId } = actor
  const pair = { equipmentClass, failureMode }
  return inBusiness(actor, async (tx) => {
    const model = await tx.lifeModel.findFirst({ where: { businessId, ...pair }, orderBy: { version: 'desc' } })
    if (!model) return null
    const business = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { locale: true } })
    const names = await ownNames(tx, businessId)
    const knowledge = readKnowledge(model.parameters)
    const answered = await answerTo(tx, businessId, LEARNED_PAIRS, now, { only: pair })
    const fromLives = answered?.answer[pairKey(pair)]
    return {
      ...rowOf(model, names),
      version: model.version,
      madeOn: dayText(model.madeAt),
      cutoffOn: dayText(model.cutoffOn),
      locale: business.locale,
      tanks: fromLives?.tanks ?? null,
      sign: findMode(failureMode)?.sign ?? '',
      lookNeeded: findMode(failureMode)?.lookNeeded ?? null,
      shapeInterval: knowledge ? typicalLife(knowledge.model).shape : null,
      curves: fromLives?.curves ?? null,
      drivers: fromLives?.drivers ?? null,
      trend: await trendOf(tx, businessId, pair),
    }
  })
}

/** A property that no tank here has is no news. */
function withoutIdle(drivers: Drivers): Drivers {
  return { ...drivers, notTested: drivers.notTested.filter(({ why }) => why !== 'no tank here has it') }
}

async function trendOf(
  tx: Transaction,
  businessId: string,
  pair: { equipmentClass: string; failureMode: string },
): Promise<LearnedPair['trend']> {
  const all = await tx.lifeModel.findMany({
    where: { businessId, ...pair },
    select: { version: true },
    orderBy: { version: 'asc' },
  })
  const step = Math.max(1, all.length / VERSIONS_SHOWN)
  const chosen = new Set(
    all.flatMap(({ version }, i) =>
      i === all.length - 1 || Math.floor(i / step) !== Math.floor((i - 1) / step) ? [version] : [],
    ),
  )
  const models = await tx.lifeModel.findMany({
    where: { businessId, ...pair, version: { in: [...chosen] } },
    orderBy: { version: 'asc' },
  })
  const points = models.flatMap(({ version, cutoffOn, shape, scaleDays, parameters }) => {
    const knowledge = readKnowledge(parameters)
    const plain = shape && scaleDays ? scaleDays * Math.LN2 ** (1 / shape) : null
    const days = knowledge ? typicalLife(knowledge.model).medianDays.median : plain
    return days === null ? [] : [{ date: dayText(cutoffOn), value: Math.round((days / 7) * 10) / 10, version }]
  })
  // Of several versions of one day the last one stands.
  return points.filter(({ date }, i) => points[i + 1]?.date !== date)
}
