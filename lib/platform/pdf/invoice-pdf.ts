/** An invoice, credit note or draft as a PDF that a business would be glad to send. */
import { closingHeight, drawClosing } from './invoice-closing'
import { documentTitle, drawHead } from './invoice-head'
import { INVOICE_LABELS } from './invoice-labels'
import { drawTable } from './invoice-table'
import type { InvoiceView } from './invoice-view'
import { Paper, STYLES } from './paper'

function openPaper(view: InvoiceView): Promise<Paper> {
  const createdAt = new Date(`${view.issueDateIso}T00:00:00Z`)
  if (!/^\d{4}-\d{2}-\d{2}$/.test(view.issueDateIso) || Number.isNaN(createdAt.getTime())) {
    throw new RangeError(`the issue date must be an ISO date, got "${view.issueDateIso}"`)
  }
  return Paper.open({
    pageSize: view.pageSize,
    language: view.language,
    title: `${documentTitle(view)} · ${view.business.name}`,
    author: view.business.name,
    subject: `${documentTitle(view)}, ${view.client.name}`,
    createdAt,
    watermark: view.state === 'draft' ? INVOICE_LABELS.draft : null,
  })
}

/**
 * Sets the invoice in type. Tagged for screen readers (title, language, table heads), fonts embedded, and the same bytes
 * for the same view: the creation date is the issue date.
 * Errors: RangeError when the issue date is no date; a letter that the font lacks prints as � (see `unprintableLetters`).
 */
export async function invoicePdf(view: InvoiceView): Promise<Buffer> {
  const paper = await openPaper(view)
  drawHead(paper, view)
  drawTable(paper, view, closingHeight(paper, view))
  drawClosing(paper, view)
  const foot = `${view.business.name} · ${documentTitle(view)}`
  paper.onEveryPage((page, pages) => {
    const y = paper.bottom + 22
    paper.draw(foot, paper.left, y, STYLES.small)
    paper.drawRight(INVOICE_LABELS.page(page, pages), paper.right, y, STYLES.small)
  })
  return paper.close()
}

function textsOf(value: unknown): string[] {
  if (typeof value === 'string') return [value]
  if (typeof value !== 'object' || value === null) return []
  return Object.values(value).flatMap(textsOf)
}

/** Letters of this invoice that the font cannot print, each once: for a warning before it is issued. */
export async function unprintableLetters(view: InvoiceView): Promise<string[]> {
  const paper = await openPaper(view)
  const letters = new Set(textsOf(view).join('').normalize('NFC'))
  return [...letters].filter((letter) => letter >= ' ' && !paper.hasLetter(letter))
}
