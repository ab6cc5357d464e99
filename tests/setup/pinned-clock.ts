import { vi } from 'vitest'

/**
 * Sets the clock that this test file's code reads (`new Date()`, `Date.now()`) to an instant, where it stays until pinned anew. The office reads the clock only at its edges;
 * this is how a test gives those edges a `now`. Timers, and the server's own clock (`now()` in SQL), go on as they are.
 */
export function pinClock(now: Date): void {
  vi.useFakeTimers({ toFake: ['Date'], now })
}

/** The machine's clock again. */
export function unpinClock(): void {
  vi.useRealTimers()
}
