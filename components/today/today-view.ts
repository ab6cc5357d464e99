/** "1 visit", "3 visits", "no visits". */
export function countWords(count: number, what: string): string {
  return `${count === 0 ? 'no' : count} ${what}${count === 1 ? '' : 's'}`
}

/** "today", "tomorrow", "in 3 days", "2 days late". */
export function dueWords(daysLate: number): string {
  if (daysLate > 0) return daysLate === 1 ? 'a day late' : `${daysLate} days late`
  if (daysLate === 0) return 'today'
  return daysLate === -1 ? 'tomorrow' : `in ${-daysLate} days`
}

/** A booking form with the tank, the kind and what for already in it. */
export function bookHref(tankId: string, kind: string, whatFor: string): string {
  return `/plan/book?${new URLSearchParams({ tank: tankId, kind, for: whatFor })}`
}
