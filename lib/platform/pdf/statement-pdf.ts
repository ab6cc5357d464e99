/** A client's statement of account as a PDF: what was owed before, every paper and payment since, and what is owed now. */
import type { PageSize } from './invoice-view'
import { INK, Paper, STYLES, textHeight } from './paper'

/** Display text only: amounts and dates are in the business's language already. */
export type StatementView = {
  pageSize: PageSize
  language: string
  businessName: string
  businessLines: readonly string[]
  clientName: string
  clientLines: readonly string[]
  title: string
  /** Labels of the three columns of figures and words, left to right: day, what, amount, balance. */
  heads: readonly [string, string, string, string]
  rows: readonly { day: string; what: string; amount: string; balance: string; isEdge: boolean }[]
  /** What is owed by age, and the balance in one line each. */
  summary: readonly { label: string; amount: string }[]
  /** ISO: the last day of the statement, which dates the file. */
  dateIso: string
}

const DAY_WIDTH = 92
const AMOUNT_WIDTH = 92
const ROW_GAP = 4

/** Sets the statement in type. The same view gives the same bytes. Errors: RangeError when the date is none. */
export async function statementPdf(view: StatementView): Promise<Buffer> {
  const createdAt = new Date(`${view.dateIso}T00:00:00Z`)
  if (Number.isNaN(createdAt.getTime())) throw new RangeError(`the date must be an ISO date, got "${view.dateIso}"`)
  const paper = await Paper.open({
    pageSize: view.pageSize,
    language: view.language,
    title: `${view.title} · ${view.businessName}`,
    author: view.businessName,
    subject: `${view.title}, ${view.clientName}`,
    createdAt,
    watermark: null,
  })
  drawTop(paper, view)
  drawEntries(paper, view)
  drawSummary(paper, view)
  paper.onEveryPage((page, pages) => {
    const y = paper.bottom + 22
    paper.draw(`${view.businessName} · ${view.title}`, paper.left, y, STYLES.small)
    paper.drawRight(`${page} / ${pages}`, paper.right, y, STYLES.small)
  })
  return paper.close()
}

function drawTop(paper: Paper, view: StatementView): void {
  paper.tag('P', paper.root, () => {
    paper.draw(view.businessName, paper.left, paper.y, STYLES.name)
    paper.y += textHeight(STYLES.name)
    paper.y = paper.drawLines(view.businessLines, paper.left, paper.y, STYLES.small) + 20
  })
  paper.tag('H1', paper.root, () => paper.draw(view.title, paper.left, paper.y, STYLES.title))
  paper.y += textHeight(STYLES.title) + 8
  paper.tag('P', paper.root, () => {
    paper.y = paper.drawLines([view.clientName, ...view.clientLines], paper.left, paper.y, STYLES.body) + 18
  })
}

function columnsOf(paper: Paper) {
  const [day, what] = [paper.left, paper.left + DAY_WIDTH]
  const [amount, balance] = [paper.right - AMOUNT_WIDTH, paper.right]
  return { day, what, amount, balance, whatWidth: amount - what - AMOUNT_WIDTH }
}

function drawEntries(paper: Paper, view: StatementView): void {
  const table = paper.tag('Table')
  const columns = columnsOf(paper)
  const heads = (row: ReturnType<Paper['tag']> | null) => {
    const [day, what, amount, balance] = view.heads
    const draws = [
      () => paper.draw(day, columns.day, paper.y, STYLES.small),
      () => paper.draw(what, columns.what, paper.y, STYLES.small),
      () => paper.drawRight(amount, columns.amount, paper.y, STYLES.small),
      () => paper.drawRight(balance, columns.balance, paper.y, STYLES.small),
    ]
    for (const [place, draw] of draws.entries()) {
      if (row) paper.tag('TH', row, draw, { scope: 'Column', title: view.heads[place] ?? '' })
      else paper.decoration(draw)
    }
    paper.y += textHeight(STYLES.small) + 5
    paper.rule(paper.y, { colour: INK, thickness: 0.8 })
    paper.y += ROW_GAP
  }
  heads(paper.tag('TR', table))
  for (const entry of view.rows) {
    const style = entry.isEdge ? STYLES.strong : STYLES.body
    const what = paper.wrap(entry.what, columns.whatWidth, style)
    const height = textHeight(style, what.length) + ROW_GAP * 2
    if (!paper.fits(height)) {
      paper.newPage()
      heads(null)
    }
    const row = paper.tag('TR', table)
    paper.tag('TD', row, () => paper.draw(entry.day, columns.day, paper.y, style))
    paper.tag('TD', row, () => paper.drawLines(what, columns.what, paper.y, style))
    paper.tag('TD', row, () => paper.drawRight(entry.amount, columns.amount, paper.y, style))
    paper.tag('TD', row, () => paper.drawRight(entry.balance, columns.balance, paper.y, style))
    paper.y += height - ROW_GAP
    paper.rule(paper.y)
    paper.y += ROW_GAP
  }
}

function drawSummary(paper: Paper, view: StatementView): void {
  const height = textHeight(STYLES.body) + 4
  if (!paper.fits(height * view.summary.length + 20)) paper.newPage()
  paper.y += 16
  for (const { label, amount } of view.summary) {
    paper.tag('P', paper.root, () => {
      paper.draw(label, columnsOf(paper).what, paper.y, STYLES.body)
      paper.drawRight(amount, paper.right, paper.y, STYLES.strong)
    })
    paper.y += height
  }
}
