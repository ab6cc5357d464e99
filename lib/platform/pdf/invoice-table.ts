import { documentTitle } from './invoice-head'
import { INVOICE_LABELS } from './invoice-labels'
import type { InvoiceLineView, InvoiceView } from './invoice-view'
import { type Element, INK, type Paper, STYLES, textHeight } from './paper'

const ROW_PADDING = 6
const COLUMN_PADDING = 14

/** The columns of figures: how wide the widest entry is, so that a large sum never runs into its neighbour. */
type Column = { label: string; right: number; text: (line: InvoiceLineView) => string }
type Columns = { whatWidth: number; figures: Column[] }

function layColumns(paper: Paper, view: InvoiceView): Columns {
  const wanted: Omit<Column, 'right'>[] = [
    {
      label: INVOICE_LABELS.quantity,
      text: (line) => (line.unit === '' ? line.quantity : `${line.quantity} ${line.unit}`),
    },
    { label: INVOICE_LABELS.price, text: (line) => line.unitPrice },
    ...(view.taxName === '' ? [] : [{ label: view.taxName, text: (line: InvoiceLineView) => line.tax }]),
    { label: view.taxName === '' ? INVOICE_LABELS.amount : INVOICE_LABELS.net, text: (line) => line.net },
  ]
  let right = paper.right
  const figures: Column[] = []
  for (const column of [...wanted].reverse()) {
    const widths = view.lines.map((line) => paper.measure(column.text(line), STYLES.body))
    figures.unshift({ ...column, right })
    right -= Math.max(paper.measure(column.label, STYLES.small), 34, ...widths) + COLUMN_PADDING
  }
  return { whatWidth: right - paper.left, figures }
}

function drawColumnHeads(paper: Paper, columns: Columns, row: Element | null): void {
  const cell = (label: string, draw: () => void) => {
    if (row) paper.tag('TH', row, draw, { scope: 'Column', title: label })
    else paper.decoration(draw)
  }
  const y = paper.y
  cell(INVOICE_LABELS.what, () => paper.draw(INVOICE_LABELS.what, paper.left, y, STYLES.small))
  for (const column of columns.figures) {
    cell(column.label, () => paper.drawRight(column.label, column.right, y, STYLES.small))
  }
  paper.y += textHeight(STYLES.small) + 5
  paper.rule(paper.y, { colour: INK, thickness: 0.8 })
}

/** The head of every page after the first: whose invoice, which one, and the column heads again. */
function continueOnNewPage(paper: Paper, view: InvoiceView, columns: Columns): void {
  paper.newPage()
  const title = `${documentTitle(view)}, ${INVOICE_LABELS.continued}`
  paper.decoration(() => {
    paper.draw(view.business.name, paper.left, paper.y, STYLES.strong)
    paper.drawRight(title, paper.right, paper.y, STYLES.soft)
  })
  paper.y += textHeight(STYLES.strong) + 16
  drawColumnHeads(paper, columns, null)
}

type RowText = { text: string; style: (typeof STYLES)['body'] | (typeof STYLES)['small'] }

function rowTexts(paper: Paper, line: InvoiceLineView, width: number): RowText[] {
  const texts: RowText[] = paper
    .wrap(line.description, width, STYLES.body)
    .map((text) => ({ text, style: STYLES.body }))
  if (line.detail !== '') {
    for (const text of paper.wrap(line.detail, width, STYLES.small)) texts.push({ text, style: STYLES.small })
  }
  return texts
}

const heightOf = (texts: readonly RowText[]) => texts.reduce((sum, { style }) => sum + textHeight(style), 0)

/**
 * The table of lines over as many pages as it takes. A line is kept whole unless it is taller than a page; the last line
 * stays with what follows (`closingHeight` points), so that no page holds a total and nothing it is the total of.
 */
export function drawTable(paper: Paper, view: InvoiceView, closingHeight: number): void {
  const columns = layColumns(paper, view)
  const table = paper.tag('Table')
  const inUnits = INVOICE_LABELS.amountsIn(view.currency)
  paper.tag('Caption', table, () => paper.drawRight(inUnits, paper.right, paper.y, STYLES.small))
  paper.y += textHeight(STYLES.small) + 4
  drawColumnHeads(paper, columns, paper.tag('TR', table))

  const pageHeight = paper.bottom - paper.top - textHeight(STYLES.strong) - 16 - textHeight(STYLES.small) - 5
  view.lines.forEach((line, index) => {
    let texts = rowTexts(paper, line, columns.whatWidth)
    const height = heightOf(texts) + 2 * ROW_PADDING
    const withClosing = height + (index === view.lines.length - 1 ? closingHeight : 0)
    const needed = withClosing <= pageHeight ? withClosing : height
    if (!paper.fits(needed) && needed <= pageHeight) continueOnNewPage(paper, view, columns)
    else if (!paper.fits(2 * ROW_PADDING + textHeight(STYLES.body, 2))) continueOnNewPage(paper, view, columns)

    const row = paper.tag('TR', table)
    const what = paper.tag('TD', row)
    const y = paper.y + ROW_PADDING
    const figures = () => {
      for (const column of columns.figures) {
        paper.tag('TD', row, () => paper.drawRight(column.text(line), column.right, y, STYLES.body))
      }
    }
    for (let first = true; first || texts.length > 0; first = false) {
      if (!first) continueOnNewPage(paper, view, columns)
      let count = texts.length
      while (count > 1 && !paper.fits(heightOf(texts.slice(0, count)) + 2 * ROW_PADDING)) count -= 1
      let at = paper.y + ROW_PADDING
      const now = texts.slice(0, count)
      what.add(() => {
        for (const { text, style } of now) {
          paper.draw(text, paper.left, at, style)
          at += textHeight(style)
        }
      })
      if (first) figures()
      paper.y = at + ROW_PADDING
      texts = texts.slice(count)
    }
    paper.rule(paper.y)
  })
}
