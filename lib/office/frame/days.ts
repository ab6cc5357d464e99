/** Days as the register writes them: `YYYY-MM-DD`, without a zone. Pure. */
import { dateFormat } from './formats'

/** A `date` column's value for a day. */
export function asDbDate(day: string): Date {
  return new Date(`${day}T00:00:00Z`)
}

/** The day in a `date` column. */
export function asDay(date: Date): string
export function asDay(date: Date | null): string | null
export function asDay(date: Date | null): string | null {
  return date === null ? null : date.toISOString().slice(0, 10)
}

/** The day on which an instant falls in an IANA zone. @throws RangeError for an unknown zone. */
export function dayIn(timeZone: string, at: Date): string {
  return dateFormat('en-CA', { timeZone, year: 'numeric', month: '2-digit', day: '2-digit' }).format(at)
}

/** The day some whole days later (or earlier, negative). */
export function addDays(day: string, days: number): string {
  return asDay(new Date(asDbDate(day).getTime() + days * 86_400_000))
}

/** Whole days from one day to another. */
export function daysBetween(from: string, to: string): number {
  return Math.round((asDbDate(to).getTime() - asDbDate(from).getTime()) / 86_400_000)
}

/** The first day of what was so before anybody wrote a day to it. */
export const SINCE_ALWAYS = '1900-01-01'
