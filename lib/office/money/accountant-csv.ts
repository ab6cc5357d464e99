/**
 * The accountant's file: one row for each invoice line. Every column that can be summed adds up to what the screen says: a credit note's
 * quantities and amounts carry a minus, tax stands on its line, and no total of a document is repeated on its lines.
 */
import { type Columns, csvText, decimal, type FileDecimals, money, text } from './csv-file'
import type { DecimalInput, TaxCategory } from './tax'

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
  /** Quantity and amounts as on the document: a credit note's are positive there, and negative in the file. */
  quantity: DecimalInput
  unit: string
  unitPrice: DecimalInput
  netMinor: number
  taxMinor: number
  taxCategory: TaxCategory
  ratePercent: DecimalInput
  exemptionReason: string
  currency: string
}

const minor = (line: AccountantLine, amountMinor: number) =>
  money(line.documentType === 'credit_note' ? -amountMinor : amountMinor, line.currency)

function quantity(line: AccountantLine) {
  const cell = decimal(line.quantity)
  if (line.documentType === 'invoice' || !('figure' in cell) || /^-?0(\.0*)?$/.test(cell.figure)) return cell
  return { figure: cell.figure.startsWith('-') ? cell.figure.slice(1) : `-${cell.figure}` }
}

const COLUMNS: Columns<AccountantLine> = [
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
  ['quantity', quantity],
  ['unit', (line) => text(line.unit)],
  ['unit price', (line) => decimal(line.unitPrice)],
  ['net', (line) => minor(line, line.netMinor)],
  ['tax', (line) => minor(line, line.taxMinor)],
  ['gross', (line) => minor(line, line.netMinor + line.taxMinor)],
  ['tax category', (line) => text(line.taxCategory)],
  ['tax rate', (line) => decimal(line.ratePercent)],
  ['exemption reason', (line) => text(line.exemptionReason)],
  ['currency', (line) => text(line.currency)],
]

export const ACCOUNTANT_COLUMNS: readonly string[] = COLUMNS.map(([head]) => head)

/**
 * The file as text. Errors: RangeError when a quantity, price or rate is no number, or an amount no whole minor units.
 */
export function accountantCsv(
  lines: readonly AccountantLine[],
  options: { isFirst?: boolean; decimals?: FileDecimals | undefined } = {},
): string {
  return csvText(COLUMNS, lines, options)
}
