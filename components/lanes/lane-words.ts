import { dateWords } from '../paper/date-words'
import { KIND_WORDS, type LaneMark, type LaneView, type MarkKind } from './lane-view'

const COUNT_ORDER: readonly MarkKind[] = ['found', 'reported', 'renewed', 'looked']

/** The last of some marks by date; of two on one day, the later in the list. */
function latest(marks: readonly LaneMark[]): LaneMark | undefined {
  return marks.reduce<LaneMark | undefined>((last, mark) => (last && last.date > mark.date ? last : mark), undefined)
}

/** Where the band is thickest, in words. A band whose peak lies at its end says so instead of naming a day it cannot know. */
export function bandWords(lane: LaneView, locale: string): string | undefined {
  const band = lane.band ?? []
  const first = band[0]
  const last = band[band.length - 1]
  if (first === undefined || last === undefined || band.length < 2) return undefined
  const peak = band.reduce((best, point) => (point.probability > best.probability ? point : best), first)
  if (peak === first) return 'most likely soon'
  if (peak === last) return 'most likely later than shown'
  return `most likely around ${dateWords({ date: peak.date, style: 'date', locale })}`
}

/** One sentence per lane for those who hear the chart: what was counted, what came last, what comes next. */
export function laneSummary(lane: LaneView, locale: string): string {
  const counts = COUNT_ORDER.flatMap((kind) => {
    const count = lane.marks.filter((mark) => mark.kind === kind).length
    return count === 0 ? [] : [`${KIND_WORDS[kind]} ${count === 1 ? 'once' : `${count} times`}`]
  })
  const last = latest(lane.marks)
  const next = bandWords(lane, locale)
  return [
    counts.length > 0 ? sentence(counts.join('; ')) : 'Nothing seen yet.',
    last && `Last: ${KIND_WORDS[last.kind]}, ${dateWords({ date: last.date, style: 'date', locale })}.`,
    lane.runningSince && `Running since ${dateWords({ date: lane.runningSince, style: 'date', locale })}.`,
    lane.due && `Due: ${lane.due.words}.`,
    next && `Next need of work: ${next}.`,
  ]
    .filter(Boolean)
    .join(' ')
}

function sentence(words: string): string {
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}.`
}
