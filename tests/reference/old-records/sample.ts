/** The sample of old records beside this file: as a business would bring it, and what was stated of it independently (README.md). */
import { readdirSync, readFileSync } from 'node:fs'
import path from 'node:path'
import { gunzipSync } from 'node:zlib'

/** R's fit of one class and failure mode; scale in weeks. */
export type ExpectedLives = Record<
  string,
  { scale_weeks: number; shape: number; loglik: number; events: number; lives: number }
>
export type SampleTruth = { offenders: string[]; rows: Record<string, number>; looks: Record<string, number> }

const bytesOf = (name: string) => readFileSync(path.join(import.meta.dirname, name))

/** The four files, in the order of their names. */
export function sampleFiles(): { name: string; bytes: Uint8Array }[] {
  return readdirSync(import.meta.dirname)
    .filter((name) => /\.csv(\.gz)?$/.test(name))
    .toSorted()
    .map((name) =>
      name.endsWith('.gz')
        ? { name: name.replace(/\.gz$/, ''), bytes: gunzipSync(bytesOf(name)) }
        : { name, bytes: bytesOf(name) },
    )
}

export const sampleText = (name: string): string =>
  new TextDecoder().decode(sampleFiles().find((file) => file.name === name)?.bytes)

// The shapes of the two files are ours; the tests that read them would fail on any other.
export const expectedLives = (): ExpectedLives => JSON.parse(bytesOf('expected-lives.json').toString('utf8'))
export const sampleTruth = (): SampleTruth => JSON.parse(bytesOf('truth.json').toString('utf8'))
