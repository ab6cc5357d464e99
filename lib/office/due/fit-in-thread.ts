import 'server-only'
import { Worker } from 'node:worker_threads'
import type { Scope } from '@/lib/platform/db/scope'
import { type Sql, snapshotOf } from '@/lib/platform/db/sql'
import type { DeviceRow } from './lane-rows'
import type { PooledFit } from './life-models'

/** What the thread is given: a business to be read as of one moment. */
export type FitTask = { scope: Scope; snapshot: string; parts: DeviceRow[][]; todayDay: number }

/** A thread is started as our processes are: as a server. */
const STARTED_AS = ['--conditions=react-server']

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
  const worker = new Worker(new URL('./fit-thread.mjs', import.meta.url), { workerData: task, execArgv: STARTED_AS })
  return new Promise((resolve, reject) => {
    let fits: PooledFit[] | undefined
    worker.on('message', (answer: PooledFit[]) => {
      fits = answer
    })
    worker.on('error', reject)
    worker.on('exit', (code) =>
      fits && code === 0 ? resolve(fits) : reject(new Error(`the thread that fits ended with code ${code}`)),
    )
  })
}
