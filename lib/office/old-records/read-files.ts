/** From files to rows of named fields, with everything about how they are written settled. Pure. */
import { decode, type Encoding } from './decode'
import { detectDelimiter, withoutSeparatorLine } from './dialect'
import type { Dialect, FileSummary, ImportFile, Question, Rejected } from './plan-types'
import { readTable, type TableRecord } from './read-table'
import { type Recognised, recogniseFile } from './recognise-file'
import type { Delimiter, FileKind, ImportOptions, Mapping } from './schema'
import { type Evidence, evidenceOf, settleDialect, sumEvidence } from './settle-dialect'

/** A row of a recognised file; `get` answers '' for a field the file does not have. */
export type Row = { file: string; line: number; get: (field: string) => string }
export type ReadFile = {
  name: string
  kind: FileKind
  dialect: Dialect
  rows: Row[]
  unitOf: (field: string) => string
}
export type FilesRead = {
  summaries: FileSummary[]
  read: ReadFile[]
  /** Rows whose columns do not fit the header, by kind. */
  rejected: Record<FileKind, Rejected[]>
  refusals: { file: string; reason: string }[]
  questions: Question[]
}

const PREVIEW_ROWS = 5

type Opened = {
  name: string
  encoding: Encoding
  delimiter: Delimiter
  records: TableRecord[]
  recognised: Recognised
  evidence: Evidence
  unclosed: { line: number; reason: string } | null
}

function open(file: ImportFile, options: ImportOptions, mapping: Mapping): Opened | { name: string; reason: string } {
  const decoded = decode(file.bytes)
  if (!decoded.ok) return { name: file.name, reason: decoded.reason }
  const own = Object.hasOwn(mapping, file.name) ? mapping[file.name] : undefined
  const chosen =
    options.files && Object.hasOwn(options.files, file.name) ? options.files[file.name]?.delimiter : undefined
  const expected = own ? [own] : Object.values(mapping)
  const found = detectDelimiter(
    decoded.text,
    expected.flatMap((each) => Object.values(each.columns)),
  )
  const delimiter = chosen ?? found.delimiter
  const table = readTable(withoutSeparatorLine(decoded.text), delimiter)
  const [header, ...records] = table.records
  if (header === undefined)
    return {
      name: file.name,
      reason: table.problem ? `On line ${table.problem.line} ${table.problem.reason}.` : 'The file is empty.',
    }
  const recognised = recogniseFile(file.name, header.cells, mapping)
  const evidence = evidenceOf(recognised.kind, recognised.columns, records)
  return {
    name: file.name,
    encoding: decoded.encoding,
    delimiter,
    records,
    recognised,
    evidence,
    unclosed: table.problem,
  }
}

/** Rows whose number of values does not fit the header are named, not guessed at. */
function splitRows(opened: Opened): { rows: Row[]; rejected: Rejected[] } {
  const columns = opened.recognised.columns
  const byField = new Map(
    columns.flatMap((column, index) => (column.field === null ? [] : [[column.field, index] as const])),
  )
  const rows: Row[] = []
  const rejected: Rejected[] = []
  for (const { line, cells } of opened.records) {
    const surplus = cells.slice(columns.length).some((cell) => cell.trim() !== '')
    if (surplus || cells.length < columns.length) {
      const breaks = cells.some((cell) => cell.split('\n').length > 5)
      const hint = breaks ? '; a quotation mark may be missing' : ''
      rejected.push({
        file: opened.name,
        line,
        reason: `this row has ${cells.length} values where the header names ${columns.length} columns${hint}`,
      })
    } else
      rows.push({
        file: opened.name,
        line,
        get: (field) => {
          const index = byField.get(field)
          return index === undefined ? '' : (cells[index] ?? '')
        },
      })
  }
  if (opened.unclosed) rejected.push({ file: opened.name, ...opened.unclosed })
  return { rows, rejected }
}

function summarise(opened: Opened, dialect: Dialect): FileSummary {
  const { kind, columns, sure, doubts } = opened.recognised
  const preview = opened.records.slice(0, PREVIEW_ROWS).map((record) => record.cells)
  return { name: opened.name, kind, dialect, columns, sure, doubts, rows: opened.records.length, preview }
}

function unreadable(name: string, reason: string): FileSummary {
  return { name, kind: null, dialect: null, columns: [], sure: false, doubts: [reason], rows: 0, preview: [] }
}

/** Opens every file, recognises it and settles its dialect: what the person chose, else what it shows, else what the other files show. */
export function readFiles(files: readonly ImportFile[], options: ImportOptions, mapping: Mapping): FilesRead {
  const result: FilesRead = {
    summaries: [],
    read: [],
    rejected: { clients: [], tanks: [], equipment: [], visits: [] },
    refusals: [],
    questions: [],
  }
  const tried = files.map((file) => open(file, options, mapping))
  const whole = sumEvidence(tried.flatMap((each) => ('records' in each ? [each.evidence] : [])))
  for (const each of tried) {
    if (!('records' in each)) {
      result.summaries.push(unreadable(each.name, each.reason))
      result.refusals.push({ file: each.name, reason: each.reason })
      continue
    }
    const { encoding, delimiter, recognised, name } = each
    const own = options.files && Object.hasOwn(options.files, name) ? options.files[name] : undefined
    const { questions, ...settled } = settleDialect(name, each.evidence, whole, {
      dateOrder: own?.dateOrder ?? options.dateOrder,
      decimalMark: own?.decimalMark ?? options.decimalMark,
    })
    const dialect: Dialect = { encoding, delimiter, ...settled }
    result.summaries.push(summarise(each, dialect))
    if (recognised.kind === null || !recognised.sure) {
      result.refusals.push({
        file: name,
        reason: `It is not sure what this file holds: ${recognised.doubts.join('; ')}. Match its columns.`,
      })
      continue
    }
    result.questions.push(...questions)
    const { rows, rejected } = splitRows(each)
    for (const row of rejected) result.rejected[recognised.kind].push(row) // a file may have more than a call takes arguments
    const unitOf = (field: string) => recognised.columns.find((column) => column.field === field)?.headerUnit ?? ''
    result.read.push({ name, kind: recognised.kind, dialect, rows, unitOf })
  }
  return result
}
