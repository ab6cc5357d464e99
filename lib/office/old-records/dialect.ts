/** How a file separates its columns. Pure. */
import { plainWords } from '../frame/plain-words'
import { readTable } from './read-table'
import { headingsKnown } from './recognise-file'
import { DELIMITERS, type Delimiter } from './schema'

const SAMPLE_RECORDS = 40
const SAMPLE_LETTERS = 60_000

/** Some spreadsheets say it themselves, in a first line `sep=;`. */
const SAID = /^sep=([,;\t|])[ ]*(\r\n|\n|\r)/i

export type FoundDelimiter = { delimiter: Delimiter; said: boolean }

/**
 * Finds the delimiter: the one under which the header has the most known headings (`expected`: headings a person has
 * matched), then the one under which the most records have as many columns as the header, then the most columns.
 */
export function detectDelimiter(text: string, expected: readonly string[]): FoundDelimiter {
  const said = SAID.exec(text)?.[1]
  const stated = DELIMITERS.find((delimiter) => delimiter === said)
  if (stated !== undefined) return { delimiter: stated, said: true }
  const hoped = new Set(expected.map(plainWords))
  const sample = text.slice(0, SAMPLE_LETTERS)
  const weighed = DELIMITERS.map((delimiter) => {
    const { records } = readTable(sample, delimiter, SAMPLE_RECORDS)
    const header = records[0]?.cells ?? []
    const even = records.filter((record) => record.cells.length === header.length).length
    return {
      delimiter,
      known:
        header.length < 2 ? 0 : headingsKnown(header) + header.filter((cell) => hoped.has(plainWords(cell))).length,
      even: header.length < 2 ? 0 : even / records.length,
      columns: header.length,
    }
  })
  weighed.sort((a, b) => b.known - a.known || b.even - a.even || b.columns - a.columns)
  return { delimiter: weighed[0]?.delimiter ?? ',', said: false }
}

/** Blanks a `sep=` line, so that the lines keep their numbers. */
export function withoutSeparatorLine(text: string): string {
  return text.replace(SAID, '$2')
}
