/**
 * Files for a spreadsheet or a bookkeeping import: UTF-8 with a byte order mark, CRLF, ISO dates (RFC 4180 form; the mark is for
 * spreadsheets). Figures with a point between commas, or, as the business chose, with a decimal comma between semicolons: a spreadsheet of a
 * country that writes a comma parts cells at semicolons.
 */
import { stringify } from 'csv-stringify/sync'
import { minorToDecimalText } from './currency'
import { type DecimalInput, exactDecimal } from './tax'

export type Cell = { text: string } | { figure: string }
export type FileDecimals = 'point' | 'comma'
/** The columns of a file: its head, and the cell of a row. */
export type Columns<Row> = readonly (readonly [head: string, cell: (row: Row) => Cell])[]

export const text = (value: string): Cell => ({ text: value })
/** Errors: RangeError when it is no number. */
export const decimal = (value: DecimalInput): Cell => ({ figure: exactDecimal(value, 'figure').toFixed() })
/** Errors: RangeError when the amount is no whole minor units. */
export const money = (minor: number, currency: string): Cell => ({
  figure: minorToDecimalText(minor === 0 ? 0 : minor, currency),
})

/**
 * Text that a spreadsheet would take for a formula gets an apostrophe in front. Formulas begin with = + - @, a tab or a
 * carriage return (OWASP, "CSV Injection"), or one of the full-width signs; spaces and quotes before them do not help.
 * A spreadsheet of a country that writes a decimal comma parts cells at semicolons, and some ask at what: so what follows
 * any separator within a text is looked at like a beginning.
 */
export function harmless(value: string): string {
  const begun = FORMULA_BEGINS.test(value) ? `'${value}` : value
  return begun.replaceAll(FORMULA_AFTER_SEPARATOR, "$1'")
}

const FORMULA = '[\\s\'"\\u200b\\ufeff]*[=+\\-@\\uff1d\\uff0b\\uff0d\\uff20\\u2212]'
const FORMULA_BEGINS = new RegExp(`^${FORMULA}|^[\\t\\r\\n]`)
const FORMULA_AFTER_SEPARATOR = new RegExp(`([;|\\t\\r\\n])(?=${FORMULA})`, 'g')

/** Rows of a file as text, with its head where it begins here. */
export function csvText<Row>(
  columns: Columns<Row>,
  rows: readonly Row[],
  { isFirst = true, decimals = 'point' }: { isFirst?: boolean; decimals?: FileDecimals | undefined } = {},
): string {
  const cells = rows.map((row) =>
    columns.map(([, cell]) => {
      const made = cell(row)
      // A figure has been through a number parser and may begin with a minus; everything else is somebody's text.
      if ('text' in made) return harmless(made.text)
      return decimals === 'comma' ? made.figure.replace('.', ',') : made.figure
    }),
  )
  return stringify(isFirst ? [columns.map(([head]) => head), ...cells] : cells, {
    bom: isFirst,
    delimiter: decimals === 'comma' ? ';' : ',',
    record_delimiter: 'windows',
    quoted_match: /[,;|\t]/, // other separators than ours too
  })
}
