import 'server-only'
import { Worker } from 'node:worker_threads'
import { programFile } from '@/lib/platform/config/program-file'

/** A thread at work: `ended` settles with it, and rejects with what it throws. */
export type Thread = { worker: Worker; ended: Promise<void> }

/**
 * Starts the thread `NAME.ts` (its name ends in `-thread`), compiled, with a task and hands on each message it sends. A thread reads its task from its `workerData`.
 */
export function startThread<Message>(name: string, task: object, onMessage: (message: Message) => void): Thread {
  const worker = new Worker(programFile(name), { workerData: task, execArgv: [] })
  const ended = new Promise<void>((resolve, reject) => {
    worker.on('message', onMessage)
    worker.on('error', reject)
    worker.on('exit', (code) => (code === 0 ? resolve() : reject(new Error(`a thread ended with code ${code}`))))
  })
  return { worker, ended }
}
