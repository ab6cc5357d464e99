import { INVOICE_LABELS } from './invoice-labels'
import type { InvoiceParty, InvoiceView } from './invoice-view'
import { type Paper, type PaperPicture, STYLES, textHeight } from './paper'

/** Where the client's address begins: in the window of a DL or C5 envelope (about 50 mm from the top, ISO 269 sizes). */
const ADDRESS_TOP = 142
/** As wide as the totals at the foot, so that both begin on one line down the page. */
const FACTS_WIDTH = 240
const COLUMN_GAP = 20

/** A draft never shows a number: it has none until it is issued. */
export function documentTitle(view: InvoiceView): string {
  const kind = INVOICE_LABELS[view.kind]
  return view.number === null ? `${kind}, ${INVOICE_LABELS.draft.toLowerCase()}` : `${kind} ${view.number}`
}

/** The largest a logo is printed, in points: it stands above the name and leaves the client's address in its window. */
const LOGO_BOX = { width: 150, height: 44 }
const LOGO_GAP = 8

function drawLogo(paper: Paper, business: InvoiceParty, logo: PaperPicture): number {
  const scale = Math.min(LOGO_BOX.width / logo.widthPx, LOGO_BOX.height / logo.heightPx)
  const size = { width: logo.widthPx * scale, height: logo.heightPx * scale }
  paper.drawPicture(logo, { x: paper.left, y: paper.top - 8, ...size }, INVOICE_LABELS.logo(business.name))
  return paper.top - 8 + size.height + LOGO_GAP
}

function drawBusiness(paper: Paper, business: InvoiceParty, width: number, logo: PaperPicture | null): number {
  const nameLines = paper.wrap(business.name, width, STYLES.name)
  let y = logo ? drawLogo(paper, business, logo) : paper.top
  paper.tag('P', paper.root, () => {
    y = paper.drawLines(nameLines, paper.left, y, STYLES.name) + 3
    for (const line of [...business.addressLines, ...business.detailLines]) {
      y = paper.drawLines(paper.wrap(line, width, STYLES.soft), paper.left, y, STYLES.soft)
    }
  })
  return y
}

function drawTitle(paper: Paper, view: InvoiceView): number {
  const label = INVOICE_LABELS[view.kind]
  paper.tag('H1', paper.root, () => paper.drawRight(label, paper.right, paper.top - 8, STYLES.title))
  let y = paper.top - 8 + textHeight(STYLES.title) + 1
  paper.tag('P', paper.root, () => {
    if (view.number === null) {
      const text = `${INVOICE_LABELS.draft}, ${INVOICE_LABELS.notNumbered}`
      paper.drawRight(text, paper.right, y, STYLES.call)
    } else {
      paper.drawRight(view.number, paper.right, y, STYLES.strong)
    }
    y += textHeight(STYLES.body)
    paper.drawRight(view.issueDate, paper.right, y, STYLES.body)
    y += textHeight(STYLES.body)
  })
  return y
}

function drawClient(paper: Paper, client: InvoiceParty, top: number, width: number): number {
  let y = top
  paper.tag('P', paper.root, () => {
    y = paper.drawLines(paper.wrap(client.name, width, STYLES.strong), paper.left, y, STYLES.strong)
    for (const line of client.addressLines) {
      y = paper.drawLines(paper.wrap(line, width, STYLES.body), paper.left, y, STYLES.body)
    }
    for (const line of client.detailLines) {
      y = paper.drawLines(paper.wrap(line, width, STYLES.soft), paper.left, y, STYLES.soft)
    }
  })
  return y
}

function drawFacts(paper: Paper, facts: InvoiceView['facts'], top: number): number {
  const x = paper.right - FACTS_WIDTH
  const labelWidth = Math.max(0, ...facts.map((fact) => paper.measure(fact.label, STYLES.soft))) + 12
  let y = top
  for (const fact of facts) {
    const lines = paper.wrap(fact.value, FACTS_WIDTH - labelWidth, STYLES.body)
    paper.tag('P', paper.root, () => {
      paper.draw(fact.label, x, y, STYLES.soft)
      y = paper.drawLines(lines, x + labelWidth, y, STYLES.body) + 1.5
    })
  }
  return y
}

/** The head of the first page: who sends it, what it is, to whom, and the small facts. Leaves `paper.y` below it. */
export function drawHead(paper: Paper, view: InvoiceView, logo: PaperPicture | null): void {
  const leftWidth = paper.width - FACTS_WIDTH - COLUMN_GAP
  const businessBottom = drawBusiness(paper, view.business, leftWidth + 60, logo)
  const headBottom = Math.max(businessBottom, drawTitle(paper, view))
  const top = Math.max(headBottom + 22, ADDRESS_TOP)
  paper.y = Math.max(drawClient(paper, view.client, top, leftWidth), drawFacts(paper, view.facts, top)) + 24
}
