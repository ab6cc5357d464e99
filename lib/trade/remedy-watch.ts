/**
 * Whether a decided remedy helped: needs since it began against needs before, each held against what its own looks would have shown. A remedy is decided where much was
 * found, and some of that was bad luck, which passes by itself: so the rate before is drawn towards the other tanks before a fall is called one.
 */
import { exposureUntilLower, fitRateSpread, type RateSpread, rateRatioAgainstGamma, rateUnder } from '@/lib/science'
import { CHANGE_LEVEL, type ChangeSince, changeSince, type FaultCell, type Stretch, splitAt } from './fault-cells'

/** fell: surely fewer since. not-fallen: as many or more, surely not halved. early: nothing can be said yet. unseen: nobody has looked since. */
export type RemedyState = 'fell' | 'not-fallen' | 'early' | 'unseen'

export type RemedyWatch = ChangeSince & {
  state: RemedyState
  /** Until it can be told, if needs go on coming as since the remedy; null where it is told already or no end is in sight. */
  weeksMore: number | null
  words: string
}

/** So few needs must be this unlikely if nothing had changed. */
const SURE = 0.05
/** A remedy that leaves more than this share of the needs has not worked. */
const WORKED_BELOW = 0.5
const DAYS_AWAY = 7

/**
 * Weeks after which it is judged. Who looks every week finds a lucky stretch sooner or later; on few days fixed before, that is rare. Common practice, no source for these days.
 */
const JUDGED_AFTER_WEEKS = [13, 26, 39, 52, 104, 156] as const
/** How far the tanks of a route differ where nobody has said: the prior about a rate like the others'. */
const USUAL_SPREAD = fitRateSpread([])

/**
 * Judges a remedy. `effectiveDay`: from when it acts; needs of that day count before. `today`: days since 1970-01-01. `spread`: how far the tanks of this class × mode differ. The
 * counts are those of today, the verdict is that of the last day of judgement. With several remedies in turn only the stretch between the one before and the one after belongs to
 * this one: cut the cells first. A remedy that does nothing, at tanks chosen because much was found there, is said to have helped after a year in about 4 of 100 and at one time or
 * another within three years in about 9 (simulated in the tests). Source of the p-value: see `rateRatioAgainstGamma`; the interval in `ratio` is that of the two counts as they are.
 */
export function watchRemedy(
  cells: readonly FaultCell[],
  effectiveDay: number,
  today: number,
  spread: RateSpread = USUAL_SPREAD,
): RemedyWatch {
  const change = changeSince(cells, effectiveDay)
  const { before, since, ratio } = change
  if (since.expected === 0) return { ...change, state: 'unseen', weeksMore: null, words: unseenWords(before.count) }
  if (!ratio || before.count === 0)
    return {
      ...change,
      state: 'early',
      weeksMore: null,
      words: `${seen(change)}. Nothing was found before, so a fall cannot be shown.`,
    }
  const usual = rateUnder(spread, { count: before.count, exposure: before.expected })
  const weeks = JUDGED_AFTER_WEEKS.findLast((after) => effectiveDay + 7 * after <= today)
  const told = weeks === undefined ? null : judge(cells, effectiveDay, weeks, usual)
  if (told) return { ...change, state: told.state, weeksMore: null, words: `${seen(change)}: ${told.words}` }
  const daysSince = Math.max(DAYS_AWAY, today - effectiveDay)
  const weeksMore = weeksUntilTold(since, usual, daysSince)
  return {
    ...change,
    state: 'early',
    weeksMore,
    words: `${seen(change)}: too early to say${untilWords(weeksMore, since.count)}.`,
  }
}

/** What could be said so many weeks after the remedy; null where nothing could. */
function judge(
  cells: readonly FaultCell[],
  effectiveDay: number,
  weeks: number,
  usual: { shape: number; rate: number },
): { state: 'fell' | 'not-fallen'; words: string } | null {
  const { since } = splitAt(
    cells.filter(({ day }) => day <= effectiveDay + 7 * weeks),
    effectiveDay,
  )
  if (since.expected === 0) return null
  const { pLower, lower } = rateRatioAgainstGamma({ count: since.count, exposure: since.expected }, usual, CHANGE_LEVEL)
  const when = `judged after ${weeks} weeks`
  if (pLower <= SURE) return { state: 'fell', words: `fell, ${sureness(pLower)} (${when}).` }
  if (lower > WORKED_BELOW) return { state: 'not-fallen', words: `it did not halve (${when}). Look for another cause.` }
  return null
}

/** Until the first day of judgement at which it would be told, if needs go on coming as they did since. */
function weeksUntilTold(since: Stretch, usual: { shape: number; rate: number }, daysSince: number): number | null {
  const more = exposureUntilLower(
    { count: since.count, exposure: since.expected },
    { count: usual.shape, exposure: usual.rate },
    SURE,
  )
  const needed = daysSince + (more / since.expected) * daysSince
  const weeks = JUDGED_AFTER_WEEKS.find((after) => 7 * after > daysSince && 7 * after >= needed)
  return weeks === undefined ? null : Math.max(1, Math.ceil((7 * weeks - daysSince) / 7))
}

function untilWords(weeksMore: number | null, found: number): string {
  if (weeksMore === null) return '; so far it is no rarer than could be chance, and no end of the waiting is in sight'
  const weeks = `about ${weeksMore} more ${weeksMore === 1 ? 'week' : 'weeks'}`
  return found === 0 ? `; if none comes back, we can tell after ${weeks}` : `; at this rate we can tell after ${weeks}`
}

function unseenWords(before: number): string {
  return `Nobody has looked since. Before: ${needs(before)}.`
}

const needs = (count: number) => `${count} ${count === 1 ? 'need' : 'needs'}`

/** "1 need where tanks like it show 4.2; before, 9 where they show 3.1" */
function seen({ before, since }: ChangeSince): string {
  return `${needs(since.count)} where tanks like it show ${since.expected.toFixed(1)}; before, ${before.count} where they show ${before.expected.toFixed(1)}`
}

/** In words, before any figure. */
function sureness(pLower: number): string {
  if (pLower <= 0.001) return 'surely'
  return pLower <= 0.01 ? 'almost surely' : 'very likely'
}
