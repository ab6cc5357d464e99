import {
  consumptionOf,
  type DegradationLife,
  daysUntilEmpty,
  degradationLife,
  NotEstimable,
  type PathPoint,
  startOfLine,
  theilSen,
} from '@/lib/science'
import { normalQuantile } from '@/lib/science/special-functions'
import { thresholdOf, WEAR_QUANTITIES, type WearRule } from './wear-rules'

/** A reading on a device. Days since 1970-01-01. */
export type WearReading = { day: number; value: number }

export type Wear = {
  /** `dated`: it will cross; `crossed`: the last reading has; `level`: no date follows; `too-few`: fewer than three readings. */
  state: 'dated' | 'crossed' | 'level' | 'too-few'
  /** The readings that count, in order. */
  path: WearReading[]
  baseline: number | null
  threshold: number | null
  /** Day of the crossing and the band that holds it 8 times in 10; null where there is none, `upperDay` also where it is open. */
  thresholdDay: number | null
  lowerDay: number | null
  upperDay: number | null
  /** Why, in words, without a full stop at the end. */
  words: string
  /** A few words for a lane; blank where there is nothing to say. */
  shortWords: string
}

/** The band's ends are the lower and upper 10 %. */
const BAND = 0.8
/** A crossing further away than this is no date to plan by. */
const FURTHEST_DAYS = 5 * 365

/**
 * When a measured path crosses the figure at which the device is renewed: a straight line through the readings since the
 * last renewal, with Fieller's interval (`degradationLife`). Readings before `sinceDay` do not count, and where a counter
 * of hours has fallen a new lamp is taken to have been fitted. With two readings the line is only told, not dated. Where the threshold counts from the device's own
 * beginning, the date takes that from the line, since one first reading may be off; "past it" is told by the readings as they are. Counters of hours: see `crossingOf`.
 * Units: days since 1970-01-01; values in the unit of the rule's quantity. Readings may come in any order.
 * @throws RangeError for a reading that is no number.
 */
export function wearOf(
  readings: readonly WearReading[],
  rule: WearRule,
  { sinceDay, formatDay }: { sinceDay: number | null; formatDay: (day: number) => string },
): Wear {
  const kept = readings.filter(({ day }) => sinceDay === null || day >= sinceDay).toSorted((a, b) => a.day - b.day)
  const path = sinceLastStart(kept, rule)
  const first = path[0]
  const last = path.at(-1)
  const { name, unit } = WEAR_QUANTITIES[rule.quantity]
  const nothing = { thresholdDay: null, lowerDay: null, upperDay: null }
  if (!first || !last)
    return {
      ...nothing,
      ...{ state: 'too-few', path, baseline: null, threshold: null },
      words: `${name} has not been measured since the last renewal`,
      shortWords: '',
    }
  const threshold = thresholdOf(rule, first.value).value
  const seen = { path, baseline: first.value, threshold }
  const isPast = (value: number) => (rule.sense === 'falls' ? value <= threshold : value >= threshold)
  const limit = `${figure(threshold)} ${unit} (${rule.says})`
  const firstDay = formatDay(first.day)
  const course = `${name} ${figure(first.value)} ${unit} on ${firstDay}, ${figure(last.value)} ${unit} on ${formatDay(last.day)}`
  if (isPast(last.value) && (path.length > 1 || rule.startsAtZero)) {
    const before = path.findLastIndex(({ value }) => !isPast(value))
    const crossed = path[before + 1] ?? last
    const state = 'crossed' as const
    const [lowerDay, upperDay] = [path[before]?.day ?? crossed.day, crossed.day]
    return {
      ...{ ...seen, state, thresholdDay: crossed.day, lowerDay, upperDay },
      words: `${course}: past ${limit} since ${formatDay(crossed.day)} at the latest`,
      shortWords: `measured: past ${figure(threshold)} ${unit}`,
    }
  }
  // The renewal on record was the start of the first counter, not of one that nobody wrote down.
  const startsOnRecord = rule.startsAtZero && first === kept[0] && sinceDay !== null && first.day > sinceDay
  const counted: WearReading[] = startsOnRecord ? [{ day: sinceDay, value: 0 }, ...path] : path
  const asPath = counted.map(({ day, value }) => ({ time: day, value }))
  const days = new Set(counted.map(({ day }) => day)).size
  if (counted.length < 3 || days < 2)
    return {
      ...{ ...seen, ...nothing, state: 'too-few', shortWords: '' },
      words: tooFewWords(asPath, days, threshold, course, formatDay),
    }
  try {
    const { median, lower, upper } = crossingOf(asPath, rule)
    // The last reading has not crossed, so the crossing is not behind it, whatever the line says.
    const [day, from] = [median, lower].map((value) => Math.max(last.day, Math.round(value)))
    if (day === undefined || from === undefined || day - last.day > FURTHEST_DAYS) return level(seen, course)
    const until = Math.max(day, Math.round(upper))
    const upperDay = until - last.day > FURTHEST_DAYS ? null : until
    const sure =
      upperDay === null
        ? `not before ${formatDay(from)}, the slope is not sure yet`
        : `8 in 10 sure: ${formatDay(from)} to ${formatDay(upperDay)}`
    const words = `${course}; by its ${path.length} readings it reaches ${limit} about ${formatDay(day)} (${sure})`
    const shortWords = `measured: about ${formatDay(day)}`
    return { ...seen, state: 'dated', thresholdDay: day, lowerDay: from, upperDay, words, shortWords }
  } catch (error) {
    if (!(error instanceof NotEstimable)) throw error
    return level(seen, course)
  }
}

/**
 * When the path crosses: a counter of hours adds up, so that its errors are not independent about a line; what each stretch added is, and the day on which the rest is used up follows
 * as for anything that is used up (`daysUntilEmpty`). Anything else drifts along a straight line.
 */
function crossingOf(path: readonly PathPoint[], rule: WearRule): DegradationLife {
  if (!rule.startsAtZero) return degradationLife(path, thresholdOf(rule, startOfLine(path)), { level: BAND })
  const last = path.at(-1) ?? { time: 0, value: 0 }
  const stretches = path.slice(1).flatMap((point, place) => {
    const before = path[place] ?? point
    const days = point.time - before.time
    const use = point.value - before.value
    return days > 0 ? [{ fromDay: before.time, toDay: point.time, days, use, kind: 'whole' as const }] : []
  })
  const consumption = stretches.some(({ use }) => use > 0) ? consumptionOf(stretches, 1) : null
  if (!consumption) throw new NotEstimable('flat', 'the counter stands still, so no day can be read from it')
  const left = Math.max(0, thresholdOf(rule, 0).value - last.value)
  const { median, lower, upper } = daysUntilEmpty(consumption, left, BAND)
  return { median: last.time + median, lower: last.time + lower, upper: last.time + upper }
}

const level = (seen: Pick<Wear, 'path' | 'baseline' | 'threshold'>, course: string): Wear => ({
  ...{ ...seen, state: 'level', thresholdDay: null, lowerDay: null, upperDay: null },
  words: `${course}: level so far, no date follows`,
  shortWords: 'measured: level so far',
})

/** A counter of hours that has fallen counts for another lamp: only what came after counts. */
function sinceLastStart(path: WearReading[], rule: WearRule): WearReading[] {
  if (!rule.startsAtZero) return path
  const start = path.findLastIndex(({ value }, place) => value < (path[place - 1]?.value ?? 0))
  return start < 0 ? path : path.slice(start)
}

function tooFewWords(
  path: { time: number; value: number }[],
  days: number,
  threshold: number,
  course: string,
  formatDay: (day: number) => string,
): string {
  if (days < 2) return `${course.split(', ')[0]}: two more readings and the day can be told`
  const { slope, intercept } = theilSen(path)
  const crossing = (threshold - intercept) / slope
  const last = path.at(-1)?.time ?? 0
  const isAhead = Number.isFinite(crossing) && crossing > last && crossing - last < FURTHEST_DAYS
  const roughly = isAhead ? `going on like that about ${formatDay(Math.round(crossing))}, but ` : ''
  return `${course}: ${roughly}one more reading is needed before a day can be told`
}

const figure = (value: number) => new Intl.NumberFormat('en-GB', { maximumSignificantDigits: 4 }).format(value)

/** The crossing as the rising chance "by this day", for drawing: normal to either side of the middle. Empty without a date. */
export function wearBand({ state, thresholdDay, lowerDay, upperDay }: Wear): { day: number; probability: number }[] {
  if (state !== 'dated' || thresholdDay === null || lowerDay === null) return []
  const reach = normalQuantile((1 + BAND) / 2)
  const before = Math.max(1, thresholdDay - lowerDay) / reach
  // An open end is drawn as if it were three times as wide as the other side.
  const after = upperDay === null ? 3 * before : Math.max(1, upperDay - thresholdDay) / reach
  return [0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95].map((probability) => {
    const z = normalQuantile(probability)
    return { day: Math.round(thresholdDay + z * (z < 0 ? before : after)), probability }
  })
}
