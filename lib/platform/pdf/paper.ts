/**
 * A sheet of paper to set type on: pdfkit with our page, our type sizes, a line breaker of our own (pdfkit's would start
 * pages by itself) and tags for screen readers.
 */
import PDFDocument from 'pdfkit'
import { type FontName, invoiceFonts } from './fonts'
import type { PageSize } from './invoice-view'

export const INK = '#1c2a30'
const SOFT = '#56625f'
const RULE = '#d8d0bf'
const CALL = '#a8431b'
const WASH = '#f6eee3'

/** Lengths in PDF points, 72 to an inch. */
const PAGE_SIZES: Record<PageSize, readonly [number, number]> = { A4: [595.28, 841.89], LETTER: [612, 792] }
const MARGIN_SIDE = 56
const MARGIN_TOP = 52
const MARGIN_BOTTOM = 64
const LINE_HEIGHT = 1.4

export type TextStyle = { font: FontName; size: number; colour: string }

export const STYLES = {
  title: { font: 'semibold', size: 24, colour: INK },
  name: { font: 'semibold', size: 15, colour: INK },
  body: { font: 'regular', size: 9.5, colour: INK },
  strong: { font: 'semibold', size: 9.5, colour: INK },
  soft: { font: 'regular', size: 9.5, colour: SOFT },
  small: { font: 'regular', size: 8.5, colour: SOFT },
  final: { font: 'semibold', size: 11.5, colour: INK },
  call: { font: 'semibold', size: 9.5, colour: CALL },
} as const satisfies Record<string, TextStyle>

/** A part of the structure tree: what is drawn inside belongs to this tag. */
export type Element = PDFKit.PDFStructureElement

export type PaperOptions = {
  pageSize: PageSize
  language: string
  title: string
  author: string
  subject: string
  createdAt: Date
  /** A pale word across every page, e.g. "Draft". */
  watermark: string | null
  /** Room for more than the page number at the foot of every page, in points. */
  footHeight?: number
}

/** A picture to print: its file (PNG or JPEG) and its size. */
export type PaperPicture = { bytes: Buffer; widthPx: number; heightPx: number }

/** Height of `lines` lines of this style. */
export function textHeight(style: TextStyle, lines = 1): number {
  return style.size * LINE_HEIGHT * lines
}

export class Paper {
  readonly root: Element
  readonly left = MARGIN_SIDE
  readonly right: number
  readonly top = MARGIN_TOP
  /** The lowest point content may reach; the page number stands below. */
  readonly bottom: number
  /** Where the next thing goes, from the top of the page. */
  y = MARGIN_TOP

  private readonly letters = new Map<string, boolean>()

  private constructor(
    private readonly doc: PDFKit.PDFDocument,
    private readonly options: PaperOptions,
  ) {
    const [width, height] = PAGE_SIZES[options.pageSize]
    this.right = width - MARGIN_SIDE
    this.bottom = height - MARGIN_BOTTOM - (options.footHeight ?? 0)
    this.root = doc.struct('Document')
    doc.addStructure(this.root)
    this.newPage()
  }

  static async open(options: PaperOptions): Promise<Paper> {
    const fonts = await invoiceFonts()
    const [width, height] = PAGE_SIZES[options.pageSize]
    const doc = new PDFDocument({
      size: [width, height],
      margin: 0,
      autoFirstPage: false,
      bufferPages: true, // the page count is known only at the end
      pdfVersion: '1.7',
      tagged: true,
      lang: options.language,
      displayTitle: true,
      info: {
        Title: options.title,
        Author: options.author,
        Subject: options.subject,
        Creator: 'Tankround',
        CreationDate: options.createdAt,
      },
    })
    doc.registerFont('regular', fonts.regular)
    doc.registerFont('semibold', fonts.semibold)
    return new Paper(doc, options)
  }

  get width(): number {
    return this.right - this.left
  }

  newPage(): void {
    this.doc.addPage()
    this.y = this.top
    const { watermark } = this.options
    if (watermark === null) return
    const [width, height] = PAGE_SIZES[this.options.pageSize]
    this.decoration(() => {
      const style: TextStyle = { font: 'semibold', size: 170, colour: WASH }
      const wordWidth = this.measure(watermark, style)
      this.doc.save().rotate(-52, { origin: [width / 2, height / 2] })
      this.draw(watermark, (width - wordWidth) / 2, height / 2 - style.size * 0.68, style)
      this.doc.restore()
    })
  }

  /** Whether `height` points more fit on this page. */
  fits(height: number): boolean {
    return this.y + height <= this.bottom
  }

  /** A tag under `parent` (the document by default), to be filled by `draw…` calls inside `content`. */
  tag(kind: string, parent: Element = this.root, content?: () => void, options?: Record<string, string>): Element {
    const element = this.doc.struct(kind, options ?? {})
    parent.add(element)
    if (content) element.add(content)
    return element
  }

  /** Draws something that a screen reader should pass over: rules, repeated heads, page numbers. */
  decoration(content: () => void): void {
    this.doc.markContent('Artifact', { type: 'Layout' })
    content()
    this.doc.endMarkedContent()
  }

  rule(y: number, { from = this.left, to = this.right, colour = RULE, thickness = 0.6 } = {}): void {
    this.decoration(() => {
      this.doc.moveTo(from, y).lineTo(to, y).lineWidth(thickness).strokeColor(colour).stroke()
    })
  }

  measure(text: string, style: TextStyle): number {
    const shown = this.printable(text)
    return this.doc.font(style.font).fontSize(style.size).widthOfString(shown)
  }

  /** A picture in this place, in points, with words for whoever does not see it. */
  drawPicture(
    picture: PaperPicture,
    { x, y, width, height }: { x: number; y: number; width: number; height: number },
    words: string,
  ): void {
    this.tag('Figure', this.root, () => this.doc.image(picture.bytes, x, y, { width, height }), { alt: words })
  }

  /** One line of text with its top at y. Must stand inside a tag or a decoration. */
  draw(text: string, x: number, y: number, style: TextStyle): void {
    if (text === '') return
    const shown = this.printable(text)
    this.doc.font(style.font).fontSize(style.size).fillColor(style.colour).text(shown, x, y, { lineBreak: false })
  }

  drawRight(text: string, right: number, y: number, style: TextStyle): void {
    this.draw(text, right - this.measure(text, style), y, style)
  }

  /** Several lines, one under the other; returns the y below them. */
  drawLines(lines: readonly string[], x: number, y: number, style: TextStyle): number {
    lines.forEach((line, index) => {
      this.draw(line, x, y + index * textHeight(style), style)
    })
    return y + textHeight(style, lines.length)
  }

  /**
   * Breaks text at ordinary spaces into lines no wider than `width`; a no-break space (U+00A0, U+202F) never breaks, a
   * word too long for a line is cut between letters. Line breaks in the text are kept. At least one line.
   */
  wrap(text: string, width: number, style: TextStyle): string[] {
    return text.split(/\r\n|\r|\n/).flatMap((paragraph) => this.wrapParagraph(paragraph, width, style))
  }

  private wrapParagraph(paragraph: string, width: number, style: TextStyle): string[] {
    const lines: string[] = []
    let line = ''
    for (const word of paragraph.split(/[ \t]+/)) {
      const longer = line === '' ? word : `${line} ${word}`
      if (this.measure(longer, style) <= width) {
        line = longer
        continue
      }
      if (line !== '') lines.push(line)
      line = ''
      for (const letter of word) {
        if (line !== '' && this.measure(line + letter, style) > width) {
          lines.push(line)
          line = ''
        }
        line += letter
      }
    }
    return [...lines, line]
  }

  /** Writes on every page at the end, with its number and the count. */
  onEveryPage(content: (page: number, pages: number) => void): void {
    const { start, count } = this.doc.bufferedPageRange()
    for (let index = 0; index < count; index += 1) {
      this.doc.switchToPage(start + index)
      this.decoration(() => content(index + 1, count))
    }
  }

  close(): Promise<Buffer> {
    return new Promise((resolve, reject) => {
      const chunks: Buffer[] = []
      this.doc.on('data', (chunk: Buffer) => chunks.push(chunk))
      this.doc.on('end', () => resolve(Buffer.concat(chunks)))
      this.doc.on('error', reject)
      this.doc.end()
    })
  }

  /** A letter the font does not have becomes the replacement sign: seen at once, where an empty box may be missed. */
  private printable(text: string): string {
    let shown = ''
    for (const letter of text.normalize('NFC')) {
      if (letter === '\t') shown += ' '
      else if (letter < ' ') continue
      else shown += this.hasLetter(letter) ? letter : '\ufffd'
    }
    return shown
  }

  /** Whether the invoice font can print this letter. */
  hasLetter(letter: string): boolean {
    const known = this.letters.get(letter)
    if (known !== undefined) return known
    // pdfkit's types hide the open fontkit font; it is the only place that knows which letters exist.
    const open = this.doc.font('regular') as unknown as {
      _font: { font: { hasGlyphForCodePoint(codePoint: number): boolean } }
    }
    const has = open._font.font.hasGlyphForCodePoint(letter.codePointAt(0) ?? 0)
    this.letters.set(letter, has)
    return has
  }
}
