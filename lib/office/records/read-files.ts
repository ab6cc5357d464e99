/** From files to rows of named fields, with everything about how they are written settled. Pure. */
import { detectDateOrder } from './dates'
import { decode, type Encoding } from './decode'
import { detectDelimiter, withoutSeparatorLine } from './dialect'
import { detectDecimalMark, isOpenNumber } from './numbers'
import type { Dialect, FileSummary, ImportFile, Question, Rejected, SettledBy } from './plan-types'
import { readTable, type TableRecord } from './read-table'
import { type Recognised, recogniseFile } from './recognise-file'
import type { Delimiter, FileKind, ImportOptions, Mapping } from './schema'

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

const DATE_FIELDS: Record<FileKind, readonly string[]> = {
  clients: [],
  tanks: [],
  equipment: ['installed'],
  visits: ['date'],
}
/** Fields whose decimals are evidence; a number in a comment is none. */
const NUMBER_FIELDS: Record<FileKind, readonly string[]> = {
  clients: [],
  tanks: ['volume'],
  equipment: [],
  visits: ['readings', 'minutes'],
}
const PREVIEW_ROWS = 5

type Opened = {
  name: string
  encoding: Encoding
  delimiter: Delimiter
  records: TableRecord[]
  recognised: Recognised
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
  return { name: file.name, encoding: decoded.encoding, delimiter, records, recognised, unclosed: table.problem }
}

const indexOf = (opened: Opened, field: string) =>
  opened.recognised.columns.findIndex((column) => column.field === field)

function cellsOf(opened: Opened, fields: Record<FileKind, readonly string[]>): string[] {
  const kind = opened.recognised.kind
  if (kind === null) return []
  const indexes = fields[kind].map((field) => indexOf(opened, field)).filter((index) => index >= 0)
  return indexes.flatMap((index) => opened.records.map((record) => record.cells[index] ?? ''))
}

/** Coordinates have at most three figures before their mark, so that any single mark is a decimal one. */
function coordinateMarks(opened: Opened): string[] {
  if (opened.recognised.kind !== 'clients') return []
  const indexes = ['lat', 'lon'].map((field) => indexOf(opened, field)).filter((index) => index >= 0)
  const cells = indexes.flatMap((index) => opened.records.map((record) => record.cells[index] ?? ''))
  return cells.flatMap((cell) => /^\s*[+-]?\d{1,3}([.,])\d+\s*$/.exec(cell)?.[1] ?? []).map((mark) => `0${mark}5`)
}

type Settled<T> = { value: T; by: SettledBy; open: boolean }

function settle<T>(
  chosen: T | undefined,
  own: { value: T; sure: boolean; shown: boolean },
  whole: { value: T; sure: boolean; shown: boolean },
): Settled<T> {
  if (chosen !== undefined) return { value: chosen, by: 'chosen', open: false }
  if (own.shown && own.sure) return { value: own.value, by: 'file', open: false }
  if (!own.shown && whole.shown && whole.sure) return { value: whole.value, by: 'import', open: false }
  return { value: own.shown ? own.value : whole.value, by: 'assumed', open: true }
}

const orderEvidence = (cells: string[]) => {
  const { order, sure, dayFirst, monthFirst, open } = detectDateOrder(cells)
  return { value: order, sure, shown: dayFirst + monthFirst > 0, needed: open + dayFirst + monthFirst > 0 }
}
const markEvidence = (cells: string[]) => {
  const { mark, points, commas } = detectDecimalMark(cells)
  return { value: mark, sure: points !== commas, shown: points + commas > 0, needed: cells.some(isOpenNumberIn) }
}
const isOpenNumberIn = (cell: string) => (cell.match(/\d[\d.,]*\d/g) ?? []).some(isOpenNumber)

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
  const opened = tried.filter((each): each is Opened => 'records' in each)
  const allOrders = orderEvidence(opened.flatMap((each) => cellsOf(each, DATE_FIELDS)))
  const allMarks = markEvidence(opened.flatMap((each) => [...cellsOf(each, NUMBER_FIELDS), ...coordinateMarks(each)]))
  for (const each of tried) {
    if (!('records' in each)) {
      result.summaries.push({
        name: each.name,
        kind: null,
        dialect: null,
        columns: [],
        sure: false,
        doubts: [each.reason],
        rows: 0,
        preview: [],
      })
      result.refusals.push({ file: each.name, reason: each.reason })
      continue
    }
    const own = options.files && Object.hasOwn(options.files, each.name) ? options.files[each.name] : undefined
    const orders = orderEvidence(cellsOf(each, DATE_FIELDS))
    const marks = markEvidence([...cellsOf(each, NUMBER_FIELDS), ...coordinateMarks(each)])
    const order = settle(own?.dateOrder ?? options.dateOrder, orders, allOrders)
    const mark = settle(own?.decimalMark ?? options.decimalMark, marks, allMarks)
    const { encoding, delimiter, recognised, name } = each
    const dialect: Dialect = {
      encoding,
      delimiter,
      decimalMark: mark.value,
      decimalMarkBy: mark.by,
      dateOrder: order.value,
      dateOrderBy: order.by,
    }
    result.summaries.push(summarise(each, dialect))
    if (recognised.kind === null || !recognised.sure) {
      result.refusals.push({
        file: name,
        reason: `It is not sure what this file holds: ${recognised.doubts.join('; ')}. Match its columns.`,
      })
      continue
    }
    if (order.open && orders.needed)
      result.questions.push({
        about: 'date-order',
        file: name,
        text: `In “${name}”, is the day written first or the month? Its dates can be read both ways.`,
        choices: ['day-first', 'month-first'],
        assumed: order.value,
      })
    if (mark.open && marks.needed)
      result.questions.push({
        about: 'decimal-mark',
        file: name,
        text: `In “${name}”, is “1,500” fifteen hundred or one and a half? Say which mark comes before decimals.`,
        choices: ['.', ','],
        assumed: mark.value,
      })
    const { rows, rejected } = splitRows(each)
    result.rejected[recognised.kind].push(...rejected)
    const unitOf = (field: string) => recognised.columns.find((column) => column.field === field)?.headerUnit ?? ''
    result.read.push({ name, kind: recognised.kind, dialect, rows, unitOf })
  }
  return result
}
