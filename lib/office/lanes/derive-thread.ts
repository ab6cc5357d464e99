import { parentPort, workerData } from 'node:worker_threads'
import { closeDatabase } from '@/lib/platform/db/client'
import { inReading } from '@/lib/platform/db/sql'
import type { ThreadTask } from './derive-in-threads'
import { deriveParts } from './derive-parts'

/** One thread of a rebuild: works out its share of the tanks and hands it to the thread that writes. */
const port = parentPort
if (!port) throw new Error('this file is the start of a thread')
// `deriveInThreads` starts this thread, with this task.
const { scope, snapshot, parts, models } = workerData as ThreadTask

/** Pieces handed over that are not yet written: few, or memory fills where the database is slow. */
const MOST_WAITING = 3
let waiting = 0
let wake = () => undefined as undefined
port.on('message', () => {
  waiting -= 1
  wake()
})

await inReading(
  scope,
  async (read) => {
    for await (const part of deriveParts(scope, read, parts, models)) {
      port.postMessage(part)
      waiting += 1
      while (waiting >= MOST_WAITING) {
        await new Promise<void>((resolve) => {
          wake = () => void resolve()
        })
      }
    }
  },
  { snapshot },
)
await closeDatabase()
port.close()
