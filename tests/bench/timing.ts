/** Milliseconds that `work` takes. */
export async function timed(work: () => Promise<unknown>): Promise<number> {
  const start = performance.now()
  await work()
  return performance.now() - start
}

/** The middle one; of an even number the upper of the two. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN
}

/** A line of a benchmark's answer. */
export function say(line: string): void {
  process.stdout.write(`${line}\n`)
}

/** Seconds with one decimal. */
export function seconds(ms: number): string {
  return `${(ms / 1000).toFixed(1)} s`
}
