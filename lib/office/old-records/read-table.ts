/** From a file's text to its records, each with the line it starts on. Pure. */
import { CsvError, parse } from 'csv-parse/sync'

export type TableRecord = { line: number; cells: string[] }
export type Table = { records: TableRecord[]; problem: { line: number; reason: string } | null }

const LINE_FEED = 10
const CARRIAGE_RETURN = 13

/** Walks through the bytes once; csv-parse's own line count takes a CR LF inside quotes for two lines. */
class LineCounter {
  private position = 0
  private line = 1
  constructor(private readonly bytes: Uint8Array) {}

  /** The physical line, counted from 1, on which the byte at `offset` stands. Offsets must not fall. */
  lineAt(offset: number): number {
    for (; this.position < offset; this.position++) {
      const byte = this.bytes[this.position]
      const alone = byte === CARRIAGE_RETURN && this.bytes[this.position + 1] !== LINE_FEED
      if (byte === LINE_FEED || alone) this.line++
    }
    return this.line
  }
}

/**
 * Splits text into records. Quotes may hold delimiters, doubled quotes and line breaks; records that are wholly blank
 * are left out. A quote that is never closed ends the reading: the records before it are returned with a `problem`.
 * `limit` stops after so many records (for previews and for finding the delimiter).
 */
export function readTable(text: string, delimiter: string, limit?: number): Table {
  const bytes = Buffer.from(text, 'utf8')
  const lines = new LineCounter(bytes)
  const records: TableRecord[] = []
  let start = 0
  let problem: Table['problem'] = null
  try {
    parse(bytes, {
      delimiter,
      relax_quotes: true,
      relax_column_count: true,
      record_delimiter: ['\r\n', '\n', '\r'],
      ...(limit === undefined ? {} : { to: limit }),
      on_record: (cells: string[], context) => {
        const line = lines.lineAt(start)
        start = context.bytes
        if (cells.some((cell) => cell.trim() !== '')) records.push({ line, cells })
        return null
      },
    })
  } catch (error) {
    if (!(error instanceof CsvError)) throw error
    problem = {
      line: lines.lineAt(start),
      reason: 'a quotation mark is opened here and never closed: this line and all after it could not be read',
    }
  }
  return { records, problem }
}
