/** Whether a decided remedy helped: needs since it began against needs before, each held against what its own looks would have shown. */
import { exposureUntilLower } from '@/lib/science'
import { type ChangeSince, changeSince, type FaultCell } from './fault-cells'

/** fell: surely fewer since. not-fallen: as many or more, surely not halved. early: nothing can be said yet. unseen: nobody has looked since. */
export type RemedyState = 'fell' | 'not-fallen' | 'early' | 'unseen'

export type RemedyWatch = ChangeSince & {
  state: RemedyState
  /** Until it can be told, if needs go on coming as since the remedy; null where it is told already or no end is in sight. */
  weeksMore: number | null
  words: string
}

/** One-sided: fewer needs than before must be this unlikely by chance. */
const SURE = 0.05
/** A remedy that leaves more than this share of the needs has not worked. */
const WORKED_BELOW = 0.5
/** Beyond this nobody waits for the figures. */
const WEEKS_IN_SIGHT = 156
const DAYS_AWAY = 7

/**
 * Judges a remedy. `effectiveDay`: from when it acts; needs of that day count before. `today`: days since 1970-01-01; tells how fast looks
 * come in. With several remedies in turn only the stretch between the one before and the one after belongs to this one: cut the cells first.
 * Source of the interval and the p-value: see `poissonRateRatio`.
 */
export function watchRemedy(cells: readonly FaultCell[], effectiveDay: number, today: number): RemedyWatch {
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
  if (ratio.pLower <= SURE)
    return { ...change, state: 'fell', weeksMore: null, words: `${seen(change)}: fell, ${sureness(ratio.pLower)}.` }
  if (ratio.lower > WORKED_BELOW)
    return {
      ...change,
      state: 'not-fallen',
      weeksMore: null,
      words: `${seen(change)}: it did not halve. Look for another cause.`,
    }
  const weeksMore = weeksUntilTold(change, Math.max(DAYS_AWAY, today - effectiveDay))
  return {
    ...change,
    state: 'early',
    weeksMore,
    words: `${seen(change)}: too early to say${untilWords(weeksMore, since.count)}.`,
  }
}

function weeksUntilTold({ before, since }: ChangeSince, daysSince: number): number | null {
  const more = exposureUntilLower(
    { count: since.count, exposure: since.expected },
    { count: before.count, exposure: before.expected },
    SURE,
  )
  const weeks = Math.ceil(((more / since.expected) * daysSince) / 7)
  return weeks <= WEEKS_IN_SIGHT ? Math.max(1, weeks) : null
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
