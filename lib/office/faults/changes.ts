/** Whether a fault comes more or less often than it did: since a date, at the likeliest date, and over the whole time. Pure. */
import {
  lewisRobinsonTrendTest,
  type PoissonRateRatio,
  poissonChangePoint,
  poissonRateRatio,
  seededRandom,
} from '@/lib/science'
import { type ChangeSince, changeSince, type FaultCell } from '@/lib/trade'
import { isoOfDay } from '../lanes/day-numbers'

const SURE = 0.05
const SIMULATIONS = 999
const EVENTS_FOR_A_TREND = 4
const EVENTS_FOR_A_CHANGE = 6

const needs = (count: number) => `${count} ${count === 1 ? 'need' : 'needs'}`
const times = (ratio: number) => (ratio >= 10 ? Math.round(ratio).toString() : String(Number(ratio.toPrecision(2))))

export type SinceView = ChangeSince & { words: string; interval: string }

/** Before and since a day that somebody chose, in words first. */
export function changeSinceWords(cells: readonly FaultCell[], day: number): SinceView {
  const change = changeSince(cells, day)
  const { before, since, ratio } = change
  const counts = `${needs(since.count)} where tanks like it show ${since.expected.toFixed(1)}; before, ${before.count} where they show ${before.expected.toFixed(1)}`
  if (!ratio)
    return { ...change, words: `${counts}. One side was not looked at, so nothing can be said.`, interval: '' }
  const pRose =
    since.count === 0
      ? 1
      : poissonRateRatio(
          { count: before.count, exposure: before.expected },
          { count: since.count, exposure: since.expected },
          0.9,
        ).pLower
  const verdict =
    ratio.pLower <= SURE
      ? 'It comes back more rarely since then.'
      : pRose <= SURE
        ? 'It comes back more often since then.'
        : 'No change that chance would not explain.'
  return { ...change, words: `${counts}. ${verdict}`, interval: intervalWords(ratio) }
}

/** "0.3 times the rate before (0.1 to 0.8, 9 in 10)"; blank where there is no ratio. */
export function intervalWords(ratio: PoissonRateRatio | null): string {
  if (!ratio || ratio.ratio === null) return ''
  const upper = Number.isFinite(ratio.upper) ? times(ratio.upper) : 'no limit'
  const about = Number.isFinite(ratio.ratio) ? times(ratio.ratio) : 'many'
  const limits = `${times(ratio.lower)} to ${upper}, 9 in 10`
  return about === '1' ? `the same rate as before (${limits})` : `${about} times the rate before (${limits})`
}

/** `clear`: chance alone hardly makes such a cut. */
export type LikeliestChange = { date: string; clear: boolean; words: string; pValue: number } | null

/**
 * The likeliest single change, where the fault has shown often enough to ask. The chance beside it allows for having looked through all dates.
 * The same cells give the same answer: the simulation's seed is fixed.
 */
export function likeliestChange(cells: readonly FaultCell[]): LikeliestChange {
  const total = cells.reduce((sum, cell) => sum + cell.count, 0)
  const watched = withLooks(cells)
  if (total < EVENTS_FOR_A_CHANGE || watched.length < 4) return null
  const found = poissonChangePoint(
    watched.map(({ count, expected }) => ({ count, exposure: expected })),
    { simulations: SIMULATIONS, random: seededRandom(1) },
  )
  if (!found) return null
  const date = isoOfDay((watched[found.at - 1]?.day ?? 0) + 1)
  const { before, after, pValue } = found
  if (pValue > SURE) return { date, pValue, clear: false, words: 'There is no day at which it clearly changed.' }
  const direction = after.rate < before.rate ? 'more rarely' : 'more often'
  const counts = `${needs(before.count)} where ${before.exposure.toFixed(1)} were to be expected before, ${after.count} where ${after.exposure.toFixed(1)} were since`
  return { date, pValue, clear: true, words: `It comes back ${direction} since about then: ${counts}.` }
}

/**
 * Cells in which somebody looked. A need learned of by a report has no look of its own day: it counts with the look after it, or with the last one, for beside no
 * expectation at all it would make a change of its own.
 */
function withLooks(cells: readonly FaultCell[]): FaultCell[] {
  const watched: FaultCell[] = []
  let waiting = 0
  for (const cell of cells) {
    if (cell.expected > 0) watched.push({ ...cell, count: cell.count + waiting })
    waiting = cell.expected > 0 ? 0 : waiting + cell.count
  }
  const last = watched.at(-1)
  if (last) last.count += waiting
  return watched
}

export type Trend = { words: string; pValue: number } | null

/**
 * Lewis and Robinson's test of a trend, which allows for regular wear, in a time that runs with what looks would find: it stands still while nobody looks, so that
 * looking more often is no trend. Null where it has come too seldom to ask.
 */
export function trendOf(cells: readonly FaultCell[]): Trend {
  const events: number[] = []
  let clock = 0
  for (const { count, expected } of cells) {
    // In the middle of what its looks would have found: at the end, every need would come late and look like a rise.
    for (let event = 0; event < count; event++) events.push(clock + expected / 2 + 1e-9 * (events.length + 1))
    clock += expected
  }
  if (events.length < EVENTS_FOR_A_TREND || clock <= 0) return null
  const test = lewisRobinsonTrendTest(events, { end: Math.max(clock, ...events), truncation: 'time' })
  const { pValue } = test
  if (test.pIncreasing <= SURE / 2) return { pValue, words: 'It comes back more often as time goes on.' }
  if (test.pDecreasing <= SURE / 2) return { pValue, words: 'It comes back more rarely as time goes on.' }
  return { pValue, words: 'No trend: it comes back as often as it always did.' }
}
