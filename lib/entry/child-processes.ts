import { type ChildProcess, spawn } from 'node:child_process'
import { closeSync, openSync, readFileSync, renameSync, statSync } from 'node:fs'
import path from 'node:path'
import { checkoutFolder, makeDataFolder } from '@/lib/platform/config/data-folder'

/** A log older than this many bytes is set aside at the next start; one older log is kept. */
const LOG_MAX_BYTES = 10_000_000

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
    setAside(logFile)
    const log = openSync(logFile, 'a')
    const process_ = spawn(process.execPath, args, {
      cwd: checkoutFolder(),
      env: { ...process.env, ...env },
      stdio: ['ignore', log, log, 'ipc'],
    })
    closeSync(log)
    this.running.add(process_)
    const exited = new Promise<number | null>((resolve) => {
      process_.once('error', () => resolve(1))
      process_.once('exit', (code) => resolve(code))
    })
    exited.then(() => this.running.delete(process_))
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

function setAside(logFile: string): void {
  try {
    if (statSync(logFile).size > LOG_MAX_BYTES) renameSync(logFile, `${logFile}.1`)
  } catch {
    // no log yet
  }
}
