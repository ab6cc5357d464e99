import 'server-only'
import { Worker } from 'node:worker_threads'
import type { Scope } from '@/lib/platform/db/scope'
import { type Sql, snapshotOf } from '@/lib/platform/db/sql'
import type { ModelVersion } from './compute-derived'
import type { DerivedPart } from './derive-parts'
import type { DeviceRow } from './lane-rows'

/** What a thread is given to do: its share of a business, to be read as of one moment. */
export type ThreadTask = { scope: Scope; snapshot: string; parts: DeviceRow[][]; models: ModelVersion }

/** A thread is started as our processes are: as a server. */
const STARTED_AS = ['--conditions=react-server']

/**
 * The same as `deriveParts` with the parts shared out among threads, which read what `read` sees. `write` gets what came out, one
 * piece after the other. Errors: the first of any thread or of `write`; all threads are ended then.
 */
export async function deriveInThreads(
  scope: Scope,
  read: Sql,
  parts: DeviceRow[][],
  models: ModelVersion,
  write: (part: DerivedPart) => Promise<void>,
  threads: number,
): Promise<void> {
  const snapshot = await snapshotOf(read)
  let written = Promise.resolve()
  const running: Worker[] = []
  const share = (thread: number) =>
    new Promise<void>((resolve, reject) => {
      const task: ThreadTask = { scope, snapshot, models, parts: parts.filter((_, i) => i % threads === thread) }
      const worker = new Worker(new URL('./derive-thread.mjs', import.meta.url), {
        workerData: task,
        execArgv: STARTED_AS,
      })
      running.push(worker)
      worker.on('message', (part: DerivedPart) => {
        written = written.then(() => write(part))
        written.then(() => worker.postMessage('written'), reject)
      })
      worker.on('error', reject)
      worker.on('exit', (code) => (code === 0 ? resolve() : reject(new Error(`a thread ended with code ${code}`))))
    })
  try {
    await Promise.all(Array.from({ length: threads }, (_, thread) => share(thread)))
    await written
  } finally {
    await Promise.all(running.map((worker) => worker.terminate()))
  }
}
