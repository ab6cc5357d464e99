import { parentPort, workerData } from 'node:worker_threads'
import { closeDatabase } from '@/lib/platform/db/client'
import { inReading } from '@/lib/platform/db/sql'
import { fitBusiness } from './fit-business'
import type { FitTask } from './fit-in-thread'

/** The thread that fits the life models of a large business. */
const port = parentPort
if (!port) throw new Error('this file is the start of a thread')
// `fitInThread` starts this thread, with this task.
const { scope, snapshot, parts, todayDay } = workerData as FitTask

const fits = await inReading(scope, (read) => fitBusiness(read, scope.businessId, parts, todayDay), { snapshot })
port.postMessage(fits)
await closeDatabase()
port.close()
