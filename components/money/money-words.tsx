import { moneyWords } from '@/components/paper'

type Standing = { state: string | null; outstandingMinor: number; daysLate: number; currency: string; locale: string }

/** How an invoice stands, in a few words: "paid", "part paid, 12 days late". A credit note says only what it is. */
export function standingWords({ state, outstandingMinor, daysLate, currency, locale }: Standing): string {
  if (state === null) return 'credit note'
  if (state === 'paid') return 'paid'
  if (state === 'overpaid') return `${moneyWords({ minor: -outstandingMinor, currency, locale })} too much`
  const base = state === 'part_paid' ? 'part paid' : 'open'
  if (daysLate === 0) return base
  return `${base}, ${daysLate} ${daysLate === 1 ? 'day' : 'days'} late`
}

/** The same, with the accent where somebody must act. */
export function StandingWords(props: Standing) {
  const words = standingWords(props)
  const acts = props.daysLate > 0 || props.state === 'overpaid'
  return <span className={acts ? 'call' : undefined}>{words}</span>
}

/** "12 Nov 2026 – 30 Nov 2026" as short as it can be said; empty when open. */
export function periodWords(start: string | null, end: string | null, words: (day: string) => string): string {
  if (start === null || end === null) return ''
  return start === end ? words(start) : `${words(start)} – ${words(end)}`
}
