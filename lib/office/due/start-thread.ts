import 'server-only'
import { Worker } from 'node:worker_threads'

/** A thread is started as our processes are: as a server. */
const STARTED_AS = ['--conditions=react-server']

/** A thread at work: `ended` settles with it, and rejects with what it throws. */
export type Thread = { worker: Worker; ended: Promise<void> }

/**
 * Starts a thread from its `.mjs` file with a task and hands on each message it sends. A thread reads `task` from its `workerData`.
 */
export function startThread<Message>(file: URL, task: object, onMessage: (message: Message) => void): Thread {
  const worker = new Worker(file, { workerData: task, execArgv: STARTED_AS })
  const ended = new Promise<void>((resolve, reject) => {
    worker.on('message', onMessage)
    worker.on('error', reject)
    worker.on('exit', (code) => (code === 0 ? resolve() : reject(new Error(`a thread ended with code ${code}`))))
  })
  return { worker, ended }
}
