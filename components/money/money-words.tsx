import { moneyWords } from '@/components/paper'
import { dateFormat } from '../paper/formats'

type Standing = { state: string | null; outstandingMinor: number; daysLate: number; currency: string; locale: string }

/** How an invoice stands, in a few words: "paid", "part paid, 12 days late". A credit note says only what it is. */
export function standingWords({ state, outstandingMinor, daysLate, currency, locale }: Standing): string {
  if (state === null) return 'credit note'
  if (state === 'paid') return 'paid'
  if (state === 'credited') return 'credited'
  if (state === 'overpaid') return `overpaid, ${moneyWords({ minor: -outstandingMinor, currency, locale })} in credit`
  const base = state === 'part_paid' ? 'part paid' : 'outstanding'
  if (daysLate === 0) return base
  return `${base}, ${daysLate} ${daysLate === 1 ? 'day' : 'days'} overdue`
}

/** The same, with the accent where somebody must act. */
export function StandingWords(props: Standing) {
  const words = standingWords(props)
  const acts = props.daysLate > 0 || props.state === 'overpaid'
  return <span className={acts ? 'call' : undefined}>{words}</span>
}

/** "1–30 Nov 2026", as short as the language says it; empty when open. Days are formatted in UTC, so that no zone moves them. */
export function periodWords(start: string | null, end: string | null, locale: string): string {
  if (start === null || end === null) return ''
  const format = dateFormat(locale, { day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC' })
  return format.formatRange(new Date(`${start}T00:00:00Z`), new Date(`${end}T00:00:00Z`))
}
