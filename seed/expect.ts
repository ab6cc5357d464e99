import type { Result } from '@/lib/office/frame/result'

/** The value of a command that must be applied. @throws Error with the refusal's words: then the demo itself is wrong. */
export function applied<T, Reason extends string>(what: string, result: Result<T, Reason>): T {
  if (result.ok) return result.value
  const fields = 'fields' in result ? JSON.stringify(result.fields) : ''
  throw new Error(`the demo could not ${what}: ${result.reason} ${result.words ?? ''} ${fields}`)
}

/** Runs `work` over all items, a few at a time; ends at the first error, or when `signal` says so. */
export async function fewAtATime<Item>(
  items: readonly Item[],
  work: (item: Item) => Promise<unknown>,
  signal?: AbortSignal,
  atATime = 5,
): Promise<void> {
  const waiting = items.values()
  const runner = async () => {
    for (const item of waiting) {
      signal?.throwIfAborted()
      await work(item)
    }
  }
  await Promise.all(Array.from({ length: atATime }, runner))
}
