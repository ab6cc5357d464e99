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

/** An interval as one says it: "every 24 weeks", or "only when needed" for none. */
export function everyWords(days: number | null): string {
  return days === null ? 'only when needed' : `every ${weeksWords(days)}`
}

/** How sure, from the share of what the records leave possible: "almost surely", "very likely", "likely". */
export function sureWords(chance: number): string {
  if (chance >= 0.975) return 'almost surely'
  return chance >= 0.9 ? 'very likely' : 'likely'
}

/** Why it stands in the list, in a few words; the page behind the row has the whole sentence. */
export function shortReason(
  { rule, words, medianDays }: { rule: string; words: string; medianDays: number },
  intervalDays: number | null,
): string {
  const half = `half need it by ${weeksWords(medianDays)}`
  switch (rule) {
    case 'need-open':
      return 'Found, and not done since.'
    case 'age-limit':
      return intervalDays === null ? words : `Replaced at ${weeksWords(intervalDays)} whatever its condition.`
    case 'cheapest':
      return `Done ${everyWords(intervalDays)}; ${half}.`
    case 'age-unknown':
      return `Done ${everyWords(intervalDays)}; ${half}. Its age is not known.`
    case 'run-to-failure':
      return `Done only when needed; ${half}.`
    default:
      return words
  }
}
