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
 * Resolves when the person presses Ctrl-C, the process is asked to end, or the process that started it (and holds the
 * other end of its channel) is gone.
 */
export function untilInterrupted(): Promise<void> {
  return new Promise((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, () => resolve())
    process.once('disconnect', () => resolve())
  })
}
