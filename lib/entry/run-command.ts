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
}

/** Resolves when the person presses Ctrl-C or the process is asked to end. */
export function untilInterrupted(): Promise<NodeJS.Signals> {
  return new Promise((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, () => resolve(signal))
  })
}
