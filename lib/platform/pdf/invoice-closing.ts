import { INVOICE_LABELS } from './invoice-labels'
import type { InvoiceView, PaymentView } from './invoice-view'
import { type Element, INK, type Paper, STYLES, type TextStyle, textHeight } from './paper'

const TOTALS_WIDTH = 240
const COLUMN_GAP = 24
const TOTALS_TOP = 18
const NOTES_TOP = 20
const ROW_GAP = 5

/** An IBAN as people read it, in groups of four (ISO 13616-1, print form). */
export function groupedByFour(iban: string): string {
  return iban.replace(/\s/g, '').replace(/(.{4})(?=.)/g, '$1 ')
}

type TotalRow = { labelLines: string[]; amount: string; style: TextStyle; last: boolean; height: number }

function totalRows(paper: Paper, view: InvoiceView): TotalRow[] {
  const row = (entry: InvoiceView['final'], style: TextStyle, last: boolean): TotalRow => {
    const room = TOTALS_WIDTH - paper.measure(entry.amount, style) - 12
    const labelLines = paper.wrap(entry.label, room, style)
    return { labelLines, amount: entry.amount, style, last, height: textHeight(style, labelLines.length) + ROW_GAP }
  }
  return [...view.summary.map((entry) => row(entry, STYLES.body, false)), row(view.final, STYLES.final, true)]
}

function paymentFacts(payment: PaymentView): { label: string; value: string }[] {
  return [
    { label: INVOICE_LABELS.reference, value: payment.reference },
    { label: INVOICE_LABELS.accountName, value: payment.accountName },
    // A grouped IBAN is one word for the line breaker.
    ...payment.others,
    { label: INVOICE_LABELS.iban, value: groupedByFour(payment.iban).replaceAll(' ', '\u00a0') },
    { label: INVOICE_LABELS.bic, value: payment.bic },
  ].filter((fact) => fact.value !== '')
}

type Laid = {
  rows: TotalRow[]
  totalsHeight: number
  noteLines: string[][]
  notesHeight: number
  paymentHeight: number
}

const paymentWidth = (paper: Paper) => paper.width - TOTALS_WIDTH - COLUMN_GAP

function layPayment(paper: Paper, payment: PaymentView) {
  const facts = paymentFacts(payment)
  const labelWidth = Math.max(0, ...facts.map((fact) => paper.measure(fact.label, STYLES.soft))) + 10
  const laid = facts.map(({ label, value }) => ({
    label,
    lines: paper.wrap(value, paymentWidth(paper) - labelWidth, STYLES.body),
  }))
  const height = laid.reduce((sum, fact) => sum + textHeight(STYLES.body, fact.lines.length) + 1.5, 0)
  return { laid, labelWidth, height: height + textHeight(STYLES.strong) + 3 }
}

function lay(paper: Paper, view: InvoiceView): Laid {
  const rows = totalRows(paper, view)
  const totalsHeight = rows.reduce((sum, row) => sum + row.height, 0) + 8
  const noteLines = view.notes.map((note) => paper.wrap(note, paper.width, STYLES.soft))
  const notesHeight = noteLines.reduce((sum, lines) => sum + textHeight(STYLES.soft, lines.length) + 5, 0)
  return {
    rows,
    totalsHeight,
    noteLines,
    notesHeight,
    paymentHeight: view.payment ? layPayment(paper, view.payment).height : 0,
  }
}

/** Up to this share of a page the notes are kept with the totals; longer ones may run on to the next page. */
const KEEP_TOGETHER_SHARE = 0.5

/** How tall is what must stay together at the end: totals, payment details and, unless they are long, the notes. */
export function closingHeight(paper: Paper, view: InvoiceView): number {
  const { totalsHeight, paymentHeight, notesHeight } = lay(paper, view)
  const withoutNotes = TOTALS_TOP + Math.max(totalsHeight, paymentHeight)
  const withNotes = withoutNotes + NOTES_TOP + notesHeight
  return withNotes <= (paper.bottom - paper.top) * KEEP_TOGETHER_SHARE ? withNotes : withoutNotes
}

function drawTotals(paper: Paper, rows: readonly TotalRow[], top: number): number {
  const left = paper.right - TOTALS_WIDTH
  const table: Element = paper.tag('Table')
  let y = top
  for (const { labelLines, amount, style, last } of rows) {
    if (last) {
      y += 3
      paper.rule(y, { from: left, colour: INK, thickness: 1.4 })
      y += 5
    }
    const row = paper.tag('TR', table)
    const at = y
    paper.tag('TH', row, () => paper.drawLines(labelLines, left, at, style), { scope: 'Row' })
    paper.tag('TD', row, () => paper.drawRight(amount, paper.right, at, style))
    y += textHeight(style, labelLines.length) + ROW_GAP
  }
  return y
}

function drawPayment(paper: Paper, payment: PaymentView, top: number): number {
  const { laid, labelWidth } = layPayment(paper, payment)
  let y = top
  paper.tag('H2', paper.root, () => paper.draw(INVOICE_LABELS.howToPay, paper.left, y, STYLES.strong))
  y += textHeight(STYLES.strong) + 3
  for (const { label, lines } of laid) {
    paper.tag('P', paper.root, () => {
      paper.draw(label, paper.left, y, STYLES.soft)
      y = paper.drawLines(lines, paper.left + labelWidth, y, STYLES.body) + 1.5
    })
  }
  return y
}

/** Totals on the right, how to pay on the left, notes below; on a page that has room for them. */
export function drawClosing(paper: Paper, view: InvoiceView): void {
  const { rows, noteLines } = lay(paper, view)
  if (!paper.fits(closingHeight(paper, view))) paper.newPage()
  const top = paper.y + TOTALS_TOP
  const totalsBottom = drawTotals(paper, rows, top)
  const paymentBottom = view.payment ? drawPayment(paper, view.payment, top) : top
  paper.y = Math.max(totalsBottom, paymentBottom) + NOTES_TOP
  for (const lines of noteLines) {
    if (!paper.fits(textHeight(STYLES.soft, lines.length))) paper.newPage()
    paper.tag('P', paper.root, () => {
      paper.y = paper.drawLines(lines, paper.left, paper.y, STYLES.soft) + 5
    })
  }
}
