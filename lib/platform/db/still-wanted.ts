import 'server-only'
import { AsyncLocalStorage } from 'node:async_hooks'

// Our server and the screens are bundled apart: what they share hangs on the process.
const kept = globalThis as typeof globalThis & { tankroundWanted?: AsyncLocalStorage<AbortSignal> }

function wanted(): AsyncLocalStorage<AbortSignal> {
  kept.tankroundWanted ??= new AsyncLocalStorage<AbortSignal>()
  return kept.tankroundWanted
}

/** Runs `work`, whose reading ends in the database when `signal` says that nobody waits for it any more. */
export function whileWanted<T>(signal: AbortSignal, work: () => T): T {
  return wanted().run(signal, work)
}

/** The signal of whoever waits for the running work; none: it is done in any case. */
export function wantedSignal(): AbortSignal | undefined {
  return wanted().getStore()
}
