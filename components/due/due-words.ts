/** Words and figures of a due item that several screens share. */
export function weeksWords(days: number): string {
  if (days < 21) return `${Math.round(days)} ${Math.round(days) === 1 ? 'day' : 'days'}`
  return `${Math.round(days / 7)} weeks`
}

/** How late or how soon, in words. */
export function lateWords(daysLate: number | null, dueOn: string | null): string {
  if (dueOn === null) return ''
  if (daysLate === null || daysLate === 0) return ''
  return daysLate === 1 ? '1 day late' : `${daysLate < 21 ? `${daysLate} days` : weeksWords(daysLate)} late`
}
