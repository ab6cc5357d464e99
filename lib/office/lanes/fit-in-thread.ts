import 'server-only'
import type { Scope } from '@/lib/platform/db/scope'
import { type Sql, snapshotOf } from '@/lib/platform/db/sql'
import type { DeviceRow } from './lane-rows'
import type { PooledFit } from './life-models'
import { startThread } from './start-thread'

/** What the thread is given: a business to be read as of one moment. */
export type FitTask = { scope: Scope; snapshot: string; parts: DeviceRow[][]; todayDay: number }

/**
 * The same as `fitBusiness`, in a thread that ends with the last fit: all the lives of a large business are held only there,
 * and not beside the rebuild that follows. Errors: whatever the thread throws.
 */
export async function fitInThread(
  scope: Scope,
  read: Sql,
  parts: DeviceRow[][],
  todayDay: number,
): Promise<PooledFit[]> {
  const task: FitTask = { scope, snapshot: await snapshotOf(read), parts, todayDay }
  let fits: PooledFit[] | undefined
  await startThread<PooledFit[]>('fit-thread', task, (answer) => {
    fits = answer
  }).ended
  if (!fits) throw new Error('the thread that fits ended without an answer')
  return fits
}
