import { operatorMessage } from '@/lib/platform/config/operator-error'

/**
 * Runs a command line to its end. A fault the person can act on is one line on stderr; a bug keeps its stack.
 * Exit code 0 when it went well, 1 otherwise.
 */
export async function runCommand(work: () => Promise<void>): Promise<void> {
  try {
    await work()
  } catch (error) {
    const words = operatorMessage(error)
    if (words) process.stderr.write(`${words}\n`)
    else console.error(error)
    process.exitCode = 1
  }
  process.channel?.unref() // the channel to our parent must not keep us alive
}

/**
 * Resolves when the person presses Ctrl-C, the process is asked to end, or the process that started it is gone: whoever
 * holds the other end of its channel, or npm, whose shell does not pass on its end.
 */
export function untilInterrupted(): Promise<void> {
  return new Promise((resolve) => {
    const parent = process.ppid
    if (process.env.npm_lifecycle_event) setInterval(() => process.ppid === parent || resolve(), 500).unref()
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, () => resolve())
    process.once('disconnect', () => resolve())
  })
}
