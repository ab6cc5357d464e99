import { type ChildProcess, spawn } from 'node:child_process'
import { readFileSync } from 'node:fs'
import path from 'node:path'
import { checkoutFolder, makeDataFolder } from '@/lib/platform/config/data-folder'
import { TurningLog } from './turning-log'

/** How long a child may take to end by itself. */
const GRACE_MS = 10_000

export type Child = {
  exited: Promise<number | null>
  logFile: string
  /** The end of what it wrote, for an error message. */
  lastLines: (count: number) => string
  isRunning: () => boolean
}

/** The processes a start has made: each writes to its own file in `.data/logs`, and all end together. */
export class ChildProcesses {
  private readonly running = new Set<ChildProcess>()
  stopping = false

  /** Starts Node with `args`. The child gets a channel to us, so that it notices if we are gone. */
  start(name: string, args: string[], env: Record<string, string | undefined>): Child {
    const logFile = path.join(makeDataFolder('logs'), `${name}.log`)
    const log = new TurningLog(logFile)
    const process_ = spawn(process.execPath, args, {
      cwd: checkoutFolder(),
      env: { ...process.env, ...env, TANKROUND_AT_TERMINAL: undefined },
      stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
    })
    for (const output of [process_.stdout, process_.stderr]) output?.on('data', (chunk: Buffer) => log.write(chunk))
    this.running.add(process_)
    const exited = new Promise<number | null>((resolve) => {
      process_.once('error', () => resolve(1))
      process_.once('close', (code) => resolve(code)) // all it wrote has come
    })
    process_.once('exit', () => this.running.delete(process_))
    exited.then(() => {
      this.running.delete(process_)
      log.close()
    })
    return {
      exited,
      logFile,
      lastLines: (count) => readFileSync(logFile, 'utf8').trimEnd().split('\n').slice(-count).join('\n'),
      isRunning: () => this.running.has(process_),
    }
  }

  /** Asks all to end, waits, and ends those that do not. */
  async stop(): Promise<void> {
    this.stopping = true
    const ends = [...this.running].map((child) => {
      const exited = new Promise((resolve) => child.once('exit', resolve))
      child.kill('SIGTERM')
      const force = setTimeout(() => child.kill('SIGKILL'), GRACE_MS)
      return exited.then(() => clearTimeout(force))
    })
    await Promise.all(ends)
  }
}
