import 'server-only'
import type { Scope } from '@/lib/platform/db/scope'
import { type Sql, snapshotOf } from '@/lib/platform/db/sql'
import type { ModelVersion } from './compute-derived'
import type { DerivedPart } from './derive-parts'
import type { DeviceRow } from './lane-rows'
import { startThread, type Thread } from './start-thread'

/** What a thread is given to do: its share of a business, to be read as of one moment. */
export type ThreadTask = { scope: Scope; snapshot: string; parts: DeviceRow[][]; models: ModelVersion }

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
  let fail: (error: unknown) => void = () => undefined
  const failed = new Promise<never>((_, reject) => {
    fail = reject
  })
  const running = Array.from({ length: threads }, (_, place): Thread => {
    const task: ThreadTask = { scope, snapshot, models, parts: parts.filter((__, i) => i % threads === place) }
    const thread = startThread<DerivedPart>('derive-thread', task, (part) => {
      written = written.then(() => write(part))
      written.then(() => thread.worker.postMessage('written'), fail)
    })
    return thread
  })
  try {
    await Promise.race([failed, Promise.all(running.map(({ ended }) => ended))])
    await written
  } finally {
    await Promise.all(running.map(({ worker }) => worker.terminate()))
  }
}
