import { fitWeibull, NotEstimable, type NotEstimableCode, type Observation } from '@/lib/science'
import { findMode, type Life, livesForPlainFit, weibullOf } from '@/lib/trade'

/** The pooled plain fit of one class × mode, or why there is none. */
export type PooledFit = {
  equipmentClass: string
  failureMode: string
  lives: number
  events: number
  shape: number | null
  scaleDays: number | null
  logLikelihood: number | null
  notEstimable: NotEstimableCode | null
}

/** Fits one class × mode. Lives of unknown age stay out (rule 10). */
export function fitPooled(pair: { equipmentClass: string; failureMode: string }, lives: readonly Life[]): PooledFit {
  const plain = livesForPlainFit(lives)
  const counts = { ...pair, lives: plain.length, events: plain.filter((life) => life.event).length }
  const none = { ...counts, shape: null, scaleDays: null, logLikelihood: null }
  if (plain.length === 0) return { ...none, notEstimable: 'no-events' }
  try {
    const fit = fitWeibull(inFixedOrder(plain.map((life) => life.observation)))
    return { ...counts, shape: fit.shape, scaleDays: fit.scale, logLikelihood: fit.logLikelihood, notEstimable: null }
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
const compare = (a: number, b: number) => (a === b ? 0 : a < b ? -1 : 1)

/** Below this many needs of its own a business leans on the trade's figures. Common practice, no source. */
const ENOUGH_EVENTS = 5

/** A weak starting life for a mode that only this business knows: half need it within half a year, by chance. From memory. */
const OWN_MODE_START = { medianWeeks: 26, shape: 1 }

export type ModelInUse = { shape: number; scaleDays: number; source: 'own records' | 'trade' }

/** The life model that due dates use: the business's own where it has seen enough, else the trade's starting figures. */
export function modelInUse(fit: {
  failureMode: string
  events: number
  shape: number | null
  scaleDays: number | null
}): ModelInUse {
  if (fit.shape !== null && fit.scaleDays !== null && fit.events >= ENOUGH_EVENTS) {
    return { shape: fit.shape, scaleDays: fit.scaleDays, source: 'own records' }
  }
  return { ...weibullOf(findMode(fit.failureMode) ?? OWN_MODE_START), source: 'trade' }
}
