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

/** An interval as one says it: "every 24 weeks", "every week", "every 10 days", or "only when needed" for none. */
export function everyWords(days: number | null): string {
  if (days === null) return 'only when needed'
  if (days === 1) return 'every day'
  if (days === 7) return 'every week'
  return `every ${Number.isInteger(days / 7) ? `${days / 7} weeks` : weeksWords(days)}`
}

/** Why it stands in the list, in a few words; the page behind the row has the whole sentence. */
export function shortReason(
  { rule, words, medianDays }: { rule: string; words: string; medianDays: number },
  intervalDays: number | null,
): string {
  const half = `usually needs doing after about ${weeksWords(medianDays)} here`
  switch (rule) {
    case 'need-open':
      return 'Found, and not done since.'
    case 'cheapest':
      return `Planned ${everyWords(intervalDays)}; ${half}.`
    case 'age-unknown':
      return `Planned ${everyWords(intervalDays)}; ${half}. Its age is not known.`
    case 'run-to-failure':
      return `Done only when needed; ${half}.`
    default:
      return words
  }
}
