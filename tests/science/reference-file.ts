import { existsSync, readFileSync } from 'node:fs'
import path from 'node:path'

const FILE = path.resolve(import.meta.dirname, '../../../shared/reference/reliability.json')

export type ReferenceCase = {
  id: string
  // biome-ignore lint/suspicious/noExplicitAny: the file has a shape of its own for every case; each test reads what it knows to be there.
  data: any
  // biome-ignore lint/suspicious/noExplicitAny: as above.
  expected: any
}

/** The large published data sets that are kept beside the checkout; null, with a word to the reader, where they are absent. */
export const referenceCases: ReferenceCase[] | null = existsSync(FILE) ? JSON.parse(readFileSync(FILE, 'utf8')) : null

if (!referenceCases)
  console.warn(
    'Skipped: the large reference data sets (shared/reference/reliability.json beside the checkout) are absent.',
  )

export function referenceCase(id: string): ReferenceCase {
  const found = referenceCases?.find((item) => item.id === id)
  if (!found) throw new Error(`no reference case ${id}`)
  return found
}
