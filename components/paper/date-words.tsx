import { dateFormat } from './formats'

const STYLES = {
  /** Thursday 26 November */
  day: { weekday: 'long', day: 'numeric', month: 'long' },
  /** Thu 26 Nov */
  short: { weekday: 'short', day: 'numeric', month: 'short' },
  /** 26 Nov 2026 */
  date: { day: 'numeric', month: 'short', year: 'numeric' },
  /** Thursday 26 November 2026 */
  full: { weekday: 'long', day: 'numeric', month: 'long', year: 'numeric' },
  /** November 2026 */
  month: { month: 'long', year: 'numeric' },
  /** 09:20 */
  time: { hour: '2-digit', minute: '2-digit' },
  /** 26 Nov, 09:20 */
  moment: { day: 'numeric', month: 'short', hour: '2-digit', minute: '2-digit' },
} as const satisfies Record<string, Intl.DateTimeFormatOptions>

export type DateWordsProps = {
  /** A day, `2026-11-26`, or an instant, `2026-11-26T09:20:00Z`. */
  date: string
  style?: keyof typeof STYLES
  locale?: string
  /** IANA zone in which an instant is read; a day has none. */
  timeZone?: string
  /** The business's own day, `2026-11-25`: then a day near it reads "today", "tomorrow" or "yesterday". */
  today?: string
}

const DAY_MS = 86_400_000

/** A date as one says it. Days are formatted in UTC, so that no zone can move them. */
export function dateWords({ date, style = 'short', locale = 'en-GB', timeZone, today }: DateWordsProps): string {
  const isDay = /^\d{4}-\d{2}-\d{2}$/.test(date)
  const at = new Date(isDay ? `${date}T00:00:00Z` : date)
  if (Number.isNaN(at.getTime())) throw new RangeError(`not a date: ${date}`)
  if (isDay && today !== undefined) {
    const away = Math.round((at.getTime() - Date.parse(`${today}T00:00:00Z`)) / DAY_MS)
    if (Math.abs(away) <= 1) return new Intl.RelativeTimeFormat(locale, { numeric: 'auto' }).format(away, 'day')
  }
  return dateFormat(locale, { ...STYLES[style], timeZone: isDay ? 'UTC' : timeZone }).format(at)
}

/** A date in words that machines can read too; see `dateWords`. */
export function DateWords(props: DateWordsProps) {
  return <time dateTime={props.date}>{dateWords(props)}</time>
}
