/** Settles how dates and decimals of a file are read: as the person chose, else as it shows, else as the other files show. Pure. */

import { countDecimalMarks, type DecimalMark, type MarkCount, markFrom, NO_DECIMALS } from '../frame/numbers'
import type { ColumnMatch } from './columns'
import { countDateOrders, type DateOrder, NO_DATES, type OrderCount, orderFrom } from './dates'
import type { Question, SettledBy } from './plan-types'
import type { TableRecord } from './read-table'
import type { FileKind } from './schema'

const DATE_FIELDS: Record<FileKind, readonly string[]> = {
  clients: [],
  tanks: [],
  equipment: ['installed'],
  visits: ['date'],
}
/** Fields whose decimals are evidence; a number in a comment is none. */
const NUMBER_FIELDS: Record<FileKind, readonly string[]> = {
  clients: ['lat', 'lon'],
  tanks: ['volume'],
  equipment: [],
  visits: ['readings'],
}

export type Evidence = { dates: OrderCount; decimals: MarkCount }
export type Choices = { dateOrder?: DateOrder | undefined; decimalMark?: DecimalMark | undefined }
export type SettledDialect = {
  dateOrder: DateOrder
  dateOrderBy: SettledBy
  decimalMark: DecimalMark
  decimalMarkBy: SettledBy
  questions: Question[]
}

/** Coordinates have at most three figures before their mark, so that even `54,316` shows a decimal comma. */
const plainlyDecimal = (cell: string) => cell.replace(/^\s*[+-]?\d{1,3}([.,])\d+\s*$/, (_, mark: string) => `0${mark}5`)

/** What the cells of a file show; nothing where its kind is not known. */
export function evidenceOf(
  kind: FileKind | null,
  columns: readonly ColumnMatch[],
  records: readonly TableRecord[],
): Evidence {
  if (kind === null) return { dates: NO_DATES, decimals: NO_DECIMALS }
  const cellsOf = (fields: readonly string[]) => {
    const indexes = columns.flatMap((column, index) =>
      column.field !== null && fields.includes(column.field) ? [index] : [],
    )
    return indexes.flatMap((index) => records.map((record) => record.cells[index] ?? ''))
  }
  const numbers = cellsOf(NUMBER_FIELDS[kind])
  return {
    dates: countDateOrders(cellsOf(DATE_FIELDS[kind])),
    decimals: countDecimalMarks(kind === 'clients' ? numbers.map(plainlyDecimal) : numbers),
  }
}

export function sumEvidence(each: readonly Evidence[]): Evidence {
  return {
    dates: each.reduce(
      (sum, { dates }) => ({
        dayFirst: sum.dayFirst + dates.dayFirst,
        monthFirst: sum.monthFirst + dates.monthFirst,
        open: sum.open + dates.open,
      }),
      NO_DATES,
    ),
    decimals: each.reduce(
      (sum, { decimals }) => ({
        points: sum.points + decimals.points,
        commas: sum.commas + decimals.commas,
        open: sum.open + decimals.open,
      }),
      NO_DECIMALS,
    ),
  }
}

type Reading<T> = { value: T; sure: boolean; shown: boolean }

function settle<T>(chosen: T | undefined, own: Reading<T>, whole: Reading<T>): { value: T; by: SettledBy } {
  if (chosen !== undefined) return { value: chosen, by: 'chosen' }
  if (own.shown && own.sure) return { value: own.value, by: 'file' }
  if (!own.shown && whole.shown && whole.sure) return { value: whole.value, by: 'import' }
  return { value: own.shown ? own.value : whole.value, by: 'assumed' }
}

/** A person is asked only where something in the file hangs on the answer. */
export function settleDialect(file: string, own: Evidence, whole: Evidence, choices: Choices): SettledDialect {
  const order = settle(choices.dateOrder, orderFrom(own.dates), orderFrom(whole.dates))
  const mark = settle(choices.decimalMark, markFrom(own.decimals), markFrom(whole.decimals))
  const questions: Question[] = []
  if (order.by === 'assumed' && own.dates.open + own.dates.dayFirst + own.dates.monthFirst > 0)
    questions.push({
      about: 'date-order',
      file,
      text: `In “${file}”, is the day written first or the month? Its dates can be read both ways.`,
      choices: ['day-first', 'month-first'],
      assumed: order.value,
    })
  if (mark.by === 'assumed' && own.decimals.open > 0)
    questions.push({
      about: 'decimal-mark',
      file,
      text: `In “${file}”, is “1,500” fifteen hundred or one and a half? Say which mark comes before decimals.`,
      choices: ['.', ','],
      assumed: mark.value,
    })
  return { dateOrder: order.value, dateOrderBy: order.by, decimalMark: mark.value, decimalMarkBy: mark.by, questions }
}
