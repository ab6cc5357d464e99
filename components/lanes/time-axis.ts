import { scaleUtc } from 'd3-scale'
import { dateFormat } from '../paper/formats'

export type Tick = {
  /** Percent from the left. */
  at: number
  label: string
  /** A January, labelled with its year. */
  year: boolean
  /** In which of the two widths the label is shown. */
  narrow: boolean
  wide: boolean
}

export type TimeAxis = {
  /** Percent from the left for a local day; below 0 or above 100 outside the chart. */
  percent: (date: string) => number
  contains: (date: string) => boolean
  ticks: readonly Tick[]
}

const DAY_MS = 86_400_000
const DAYS_PER_MONTH = 30.44
/** Room a label needs, and the tracks that are certain to be there in the narrow and the wide layout, all in CSS px. */
const LABEL_PX = 40
const NARROW_TRACK_PX = 300
const WIDE_TRACK_PX = 540
/** A label that starts further right would run over the edge. */
const LAST_LABEL_PERCENT = { narrow: 89, wide: 94 }
const MONTH_STEPS = [1, 2, 3, 6, 12, 24, 60, 120] as const
const WEEK_STEPS = [1, 2, 4] as const
/** Below this, months are too coarse an axis and Mondays are marked. */
const WEEKS_BELOW_DAYS = 80

/** Milliseconds of a local day's name, read in UTC so that no zone moves it. Throws RangeError for anything that is not a day. */
export function dayMs(date: string): number {
  const ms = Date.parse(`${date.slice(0, 10)}T00:00:00Z`)
  if (Number.isNaN(ms)) throw new RangeError(`not a date: ${date}`)
  return ms
}

function step(steps: readonly number[], count: number, trackPx: number): number {
  return steps.find((each) => (count / each) * LABEL_PX <= trackPx) ?? steps[steps.length - 1] ?? 1
}

/** The axis from one local day to another: months, thinned to what fits a phone and a desk; Januaries carry the year. */
export function timeAxis(from: string, to: string, locale: string): TimeAxis {
  const start = dayMs(from)
  const end = dayMs(to)
  if (!(end > start)) throw new RangeError(`the chart must end after it starts, got ${from} to ${to}`)
  const scale = scaleUtc([start, end], [0, 100])
  const percent = (date: string) => scale(dayMs(date))
  const days = (end - start) / DAY_MS
  return {
    percent,
    contains: (date) => dayMs(date) >= start && dayMs(date) <= end,
    ticks: days < WEEKS_BELOW_DAYS ? weekTicks(start, end, scale, locale) : monthTicks(start, end, scale, locale),
  }
}

type Scale = (ms: number) => number

function visible(at: number, onNarrow: boolean, onWide: boolean) {
  return { narrow: onNarrow && at <= LAST_LABEL_PERCENT.narrow, wide: onWide && at <= LAST_LABEL_PERCENT.wide }
}

function monthTicks(start: number, end: number, scale: Scale, locale: string): Tick[] {
  const count = (end - start) / DAY_MS / DAYS_PER_MONTH
  const narrowStep = step(MONTH_STEPS, count, NARROW_TRACK_PX)
  const wideStep = step(MONTH_STEPS, count, WIDE_TRACK_PX)
  const monthName = dateFormat(locale, { month: 'short', timeZone: 'UTC' })
  const ticks: Tick[] = []
  const first = new Date(start)
  // Months are counted from the year 0, so that every step of up to a year meets each January.
  for (let month = first.getUTCFullYear() * 12 + first.getUTCMonth(); ; month += 1) {
    const ms = Date.UTC(Math.floor(month / 12), month % 12, 1)
    if (ms > end) return ticks
    if (ms < start) continue
    const at = scale(ms)
    const year = month % 12 === 0
    const label = year ? String(Math.floor(month / 12)) : monthName.format(ms)
    ticks.push({ at, label, year, ...visible(at, month % narrowStep === 0, month % wideStep === 0) })
  }
}

function weekTicks(start: number, end: number, scale: Scale, locale: string): Tick[] {
  const count = (end - start) / DAY_MS / 7
  // "23 Nov" is half as wide again as "Nov".
  const narrowStep = step(WEEK_STEPS, count * 1.5, NARROW_TRACK_PX)
  const wideStep = step(WEEK_STEPS, count * 1.5, WIDE_TRACK_PX)
  const dayName = dateFormat(locale, { day: 'numeric', month: 'short', timeZone: 'UTC' })
  const firstMonday = start + ((8 - new Date(start).getUTCDay()) % 7) * DAY_MS
  const ticks: Tick[] = []
  for (let week = 0; firstMonday + week * 7 * DAY_MS <= end; week += 1) {
    const ms = firstMonday + week * 7 * DAY_MS
    const at = scale(ms)
    ticks.push({
      at,
      label: dayName.format(ms),
      year: false,
      ...visible(at, week % narrowStep === 0, week % wideStep === 0),
    })
  }
  return ticks
}
