const MS_PER_DAY = 86_400_000

/** A `date` column, or any instant, → days since 1970-01-01. */
export function dayOf(date: Date): number {
  return Math.floor(date.getTime() / MS_PER_DAY)
}

/** Days since 1970-01-01 → a `date` column. */
export function dateOfDay(day: number): Date {
  return new Date(day * MS_PER_DAY)
}

/** Days since 1970-01-01 → `2026-11-25`. */
export function isoOfDay(day: number): string {
  return dateOfDay(day).toISOString().slice(0, 10)
}
