import type { Sql } from '@/lib/platform/db/sql'

/** Every version for a fortnight, then one a week for half a year, then one a month. */
const ALL_FOR_DAYS = 14
const WEEKLY_FOR_DAYS = 182
const DAYS_PER_WEEK = 7
const MONTH_DAYS = 30

export type ModelVersionMade = { version: number; cutoffDay: number }

/**
 * Which versions of the life models nobody needs any more: everything derived stands at the newest, and what was learned over time is told
 * from about two dozen. Of each week, and later of each thirty days, the last one stays. Days since 1970-01-01. Pure.
 */
export function versionsToDrop(versions: readonly ModelVersionMade[], todayDay: number): number[] {
  const newestOf = new Map<string, number>()
  const ordered = versions.toSorted((a, b) => a.version - b.version)
  for (const { version, cutoffDay } of ordered) newestOf.set(spanOf(version, cutoffDay, todayDay), version)
  const kept = new Set(newestOf.values())
  const newest = ordered.at(-1)?.version
  return ordered.map(({ version }) => version).filter((version) => !kept.has(version) && version !== newest)
}

function spanOf(version: number, cutoffDay: number, todayDay: number): string {
  const age = todayDay - cutoffDay
  if (age <= ALL_FOR_DAYS) return `version ${version}`
  if (age <= WEEKLY_FOR_DAYS) return `week ${Math.floor(cutoffDay / DAYS_PER_WEEK)}`
  return `month ${Math.floor(cutoffDay / MONTH_DAYS)}`
}

/** Deletes them, in the transaction that has written the newest version. */
export async function thinModels(write: Sql, businessId: string, todayDay: number): Promise<void> {
  const versions = await write<ModelVersionMade>(
    `SELECT version, max(cutoff_on) - DATE '1970-01-01' AS "cutoffDay" FROM life_model WHERE business_id = $1::uuid GROUP BY version`,
    [businessId],
  )
  const dropped = versionsToDrop(versions, todayDay)
  if (dropped.length > 0)
    await write('DELETE FROM life_model WHERE business_id = $1::uuid AND version = ANY ($2::int[])', [
      businessId,
      dropped,
    ])
}
