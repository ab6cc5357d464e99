/** An invoice, credit note or draft as a PDF that a business would be glad to send. */
import { closingHeight, drawClosing } from './invoice-closing'
import { documentTitle, drawHead } from './invoice-head'
import { INVOICE_LABELS } from './invoice-labels'
import { drawTable } from './invoice-table'
import type { InvoiceView } from './invoice-view'
import { Paper, type PaperPicture, STYLES, textHeight } from './paper'

const FOOTER_GAP = 4
const MOST_FOOTER_LINES = 3

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
    footHeight: footerHeight(view.footer),
  })
}

/** Room for the standing footer, which may be wider than a line. */
function footerHeight(footer: readonly string[]): number {
  return footer.length === 0 ? 0 : textHeight(STYLES.small, MOST_FOOTER_LINES) + FOOTER_GAP
}

/**
 * Sets the invoice in type. Tagged for screen readers (title, language, table heads), fonts embedded, and the same bytes
 * for the same view: the creation date is the issue date. `logo`: the business's, a PNG without transparency.
 * Errors: RangeError when the issue date is no date; a letter that the font lacks prints as � (see `unprintableLetters`).
 */
export async function invoicePdf(view: InvoiceView, logo: PaperPicture | null = null): Promise<Buffer> {
  const paper = await openPaper(view)
  drawHead(paper, view, logo)
  drawTable(paper, view, closingHeight(paper, view))
  drawClosing(paper, view)
  const foot = `${view.business.name} · ${documentTitle(view)}`
  paper.onEveryPage((page, pages) => {
    const y = paper.bottom + 22
    const lines = view.footer.flatMap((line) => paper.wrap(line, paper.width, STYLES.small)).slice(0, MOST_FOOTER_LINES)
    paper.drawLines(lines, paper.left, y + textHeight(STYLES.small) + FOOTER_GAP, STYLES.small)
    paper.draw(foot, paper.left, y, STYLES.small)
    paper.drawRight(INVOICE_LABELS.page(page, pages), paper.right, y, STYLES.small)
  })
  return paper.close()
}

/** A letter that the font cannot print, and in what it stands: "line 2", "the client’s name". */
export type UnprintableLetter = { letter: string; where: string }

/** What stands on the paper, by where a person finds it. */
function placesOf(view: InvoiceView): { where: string; texts: readonly string[] }[] {
  const { business, client } = view
  return [
    { where: 'the name of your business', texts: [business.name] },
    { where: 'the address and numbers of your business', texts: [...business.addressLines, ...business.detailLines] },
    { where: 'the client’s name', texts: [client.name] },
    { where: 'the client’s address and numbers', texts: [...client.addressLines, ...client.detailLines] },
    ...view.facts.map(({ label, value }) => ({ where: `“${label}”`, texts: [label, value] })),
    ...view.lines.map(({ description, detail, unit }, index) => ({
      where: `line ${index + 1}`,
      texts: [description, detail, unit],
    })),
    { where: 'the taxes', texts: [view.taxName, ...view.lines.map(({ tax }) => tax)] },
    { where: 'the totals', texts: [...view.summary, view.final].flatMap(({ label, amount }) => [label, amount]) },
    { where: 'the account to pay into', texts: paymentTexts(view) },
    { where: 'the note', texts: view.notes },
    { where: 'the footer', texts: view.footer },
    { where: 'the number', texts: [view.number ?? ''] },
  ]
}

function paymentTexts({ payment }: InvoiceView): string[] {
  if (payment === null) return []
  return [payment.accountName, payment.iban, payment.bic, ...payment.others.map(({ value }) => value)]
}

/** Letters of this invoice that the font cannot print, each once with the first place where it stands. */
export async function unprintableLetters(view: InvoiceView): Promise<UnprintableLetter[]> {
  const paper = await openPaper(view)
  const found = new Map<string, string>()
  for (const { where, texts } of placesOf(view))
    for (const letter of texts.join('').normalize('NFC'))
      if (letter >= ' ' && !found.has(letter) && !paper.hasLetter(letter)) found.set(letter, where)
  return [...found].map(([letter, where]) => ({ letter, where }))
}
