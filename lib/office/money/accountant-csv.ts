/**
 * The accountant's file: one row for each invoice line, for a spreadsheet or a bookkeeping import.
 * UTF-8 with a byte order mark, CRLF, ISO dates, a point as decimal sign (RFC 4180 form; the mark is for spreadsheets).
 */
import { stringify } from 'csv-stringify/sync'
import { minorToDecimalText } from './currency'
import { type DecimalInput, exactDecimal, type TaxCategory } from './tax'

export type AccountantLine = {
  documentNumber: string
  documentType: 'invoice' | 'credit_note'
  /** Number of the invoice a credit note credits; empty text otherwise. */
  creditsNumber: string
  /** ISO dates; empty text where a document has none. */
  issueDate: string
  dueDate: string
  clientName: string
  clientTaxNumber: string
  purchaseOrder: string
  lineNumber: number
  description: string
  placeName: string
  serviceStart: string
  serviceEnd: string
  quantity: DecimalInput
  unit: string
  unitPrice: DecimalInput
  /** Amounts as on the document: a credit note's are positive there, and negative in the file (`signed`). */
  netMinor: number
  taxCategory: TaxCategory
  ratePercent: DecimalInput
  exemptionReason: string
  currency: string
  /** Totals of the whole document, the same on each of its rows; tax is reckoned per document, not per line. */
  documentNetMinor: number
  documentTaxMinor: number
  documentGrossMinor: number
  documentPaidMinor: number
  paymentState: 'unpaid' | 'part_paid' | 'paid' | 'overpaid'
  /** Day of the last payment, ISO; empty text when none. */
  lastPaidDate: string
}

type Cell = { text: string } | { figure: string }

const text = (value: string): Cell => ({ text: value })
const decimal = (value: DecimalInput): Cell => ({ figure: exactDecimal(value, 'figure').toFixed() })

/** A credit note takes money back: its amounts carry a minus, so that a column of the file adds up to the turnover. */
function signed(line: AccountantLine, amountMinor: number): Cell {
  const value = line.documentType === 'credit_note' && amountMinor !== 0 ? -amountMinor : amountMinor
  return { figure: minorToDecimalText(value, line.currency) }
}

const COLUMNS: readonly (readonly [head: string, cell: (line: AccountantLine) => Cell])[] = [
  ['document number', (line) => text(line.documentNumber)],
  ['document type', (line) => text(line.documentType === 'invoice' ? 'invoice' : 'credit note')],
  ['credits number', (line) => text(line.creditsNumber)],
  ['issue date', (line) => text(line.issueDate)],
  ['due date', (line) => text(line.dueDate)],
  ['client', (line) => text(line.clientName)],
  ['client tax number', (line) => text(line.clientTaxNumber)],
  ['purchase order', (line) => text(line.purchaseOrder)],
  ['line', (line) => ({ figure: String(line.lineNumber) })],
  ['description', (line) => text(line.description)],
  ['place', (line) => text(line.placeName)],
  ['service start', (line) => text(line.serviceStart)],
  ['service end', (line) => text(line.serviceEnd)],
  ['quantity', (line) => decimal(line.quantity)],
  ['unit', (line) => text(line.unit)],
  ['unit price', (line) => decimal(line.unitPrice)],
  ['net', (line) => signed(line, line.netMinor)],
  ['tax category', (line) => text(line.taxCategory)],
  ['tax rate', (line) => decimal(line.ratePercent)],
  ['exemption reason', (line) => text(line.exemptionReason)],
  ['currency', (line) => text(line.currency)],
  ['document net', (line) => signed(line, line.documentNetMinor)],
  ['document tax', (line) => signed(line, line.documentTaxMinor)],
  ['document total', (line) => signed(line, line.documentGrossMinor)],
  ['document paid', (line) => signed(line, line.documentPaidMinor)],
  ['payment state', (line) => text(line.paymentState.replace('_', ' '))],
  ['last paid', (line) => text(line.lastPaidDate)],
]

export const ACCOUNTANT_COLUMNS: readonly string[] = COLUMNS.map(([head]) => head)

/**
 * Text that a spreadsheet would take for a formula gets an apostrophe in front. Formulas begin with = + - @, a tab or a
 * carriage return (OWASP, "CSV Injection"), or one of the full-width signs; spaces and quotes before them do not help.
 */
export function harmless(value: string): string {
  return /^[\s'"\u200b\ufeff]*[=+\-@\uff1d\uff0b\uff0d\uff20\u2212]|^[\t\r\n]/.test(value) ? `'${value}` : value
}

/**
 * The file as text. Errors: RangeError when a quantity, price or rate is no number, or an amount no whole minor units.
 */
export function accountantCsv(lines: readonly AccountantLine[]): string {
  const rows = lines.map((line) =>
    COLUMNS.map(([, cell]) => {
      const made = cell(line)
      // A figure has been through a number parser and may begin with a minus; everything else is somebody's text.
      return 'figure' in made ? made.figure : harmless(made.text)
    }),
  )
  return stringify([[...ACCOUNTANT_COLUMNS], ...rows], { bom: true, record_delimiter: 'windows' })
}
