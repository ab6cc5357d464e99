import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { groupedByFour } from '@/lib/platform/pdf/invoice-closing'
import { invoicePdf, unprintableLetters } from '@/lib/platform/pdf/invoice-pdf'
import type { InvoiceView } from '@/lib/platform/pdf/invoice-view'
import * as samples from './invoice-samples'

// Read back by poppler's programs, which share nothing with the writer.
const folder = mkdtempSync(path.join(tmpdir(), 'invoice-pdf-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

function hasPoppler(): boolean {
  try {
    execFileSync('pdftotext', ['-v'], { stdio: 'ignore' })
    return true
  } catch {
    return false
  }
}
const poppler = hasPoppler()
const note = poppler ? '' : ' (skipped: poppler-utils is not installed)'

function run(program: string, pdf: Buffer, ...options: string[]): string {
  const file = path.join(folder, 'invoice.pdf')
  writeFileSync(file, pdf)
  const output = program === 'pdftotext' ? ['-'] : []
  return execFileSync(program, [...options, file, ...output], { encoding: 'utf8' })
}

/** Every kind of space as one plain space: where lines break is layout, not content. */
const plain = (text: string) => text.replace(/\s+/g, ' ')

function textsOf(value: unknown): string[] {
  if (typeof value === 'string') return [value]
  if (typeof value !== 'object' || value === null) return []
  return Object.values(value).flatMap(textsOf)
}

describe.skipIf(!poppler)(`read back by pdftotext${note}`, () => {
  test.each(Object.entries(samples))('%s: every word and number is there', async (_name, view: InvoiceView) => {
    const text = plain(run('pdftotext', await invoicePdf(view), '-raw'))
    const { pageSize, language, kind, state, issueDateIso, payment, ...shown } = view
    const words = textsOf(shown).flatMap((value) => value.split(/[ \n]/))
    // A word wider than its column is cut between letters: look for it without the spaces.
    const unbroken = text.replace(/ /g, '')
    const missing = words.map((word) => plain(word)).filter((word) => !unbroken.includes(word.replace(/ /g, '')))
    expect(missing).toEqual([])
    if (payment?.iban) expect(text).toContain(groupedByFour(payment.iban))
  })

  test('the amounts stand on the line of what they are for', async () => {
    const rows = run('pdftotext', await invoicePdf(samples.plainInvoice), '-layout')
      .split('\n')
      .map(plain)
    expect(rows).toContainEqual(expect.stringContaining('Call-out 18 Nov, skimmer, 40 min 1 55.00 20 % 55.00'))
    expect(rows).toContainEqual(expect.stringContaining('Tax 20 % of 247.80 49.56'))
    expect(rows).toContainEqual(expect.stringContaining('Due 9 December 2026 297.36'))
  })

  test('“20 %” is never torn over two lines, however narrow the column', async () => {
    const long = `${'word '.repeat(9)}20\u00a0% ${'word '.repeat(30)}7.7\u00a0%`
    const lines = Array.from({ length: 12 }, (_, index) => ({
      ...samples.plainInvoice.lines[0],
      description: `${'x'.repeat(index)} ${long}`,
      detail: '',
      quantity: '1',
      unit: '',
      unitPrice: '1.00',
      tax: '20\u00a0%',
      net: '1.00',
    }))
    const text = run('pdftotext', await invoicePdf({ ...samples.plainInvoice, lines }), '-layout')
    expect(text).not.toMatch(/^\s*%/m)
    expect(text.match(/20\s%/g)?.length).toBeGreaterThanOrEqual(24)
  })

  test('sixty lines: heads and page numbers on every page, each line once and in order', async () => {
    const pages = run('pdftotext', await invoicePdf(samples.sixtyLines), '-layout')
      .split('\f')
      .slice(0, -1)
    expect(pages.length).toBeGreaterThanOrEqual(3)
    pages.forEach((page, index) => {
      expect(plain(page)).toContain(`${index + 1} of ${pages.length}`)
      expect(plain(page)).toContain('What Quantity Price Tax Net')
      if (index > 0) expect(page).toContain('Invoice 2026-0419, continued')
    })
    const nets = [...pages.join('\n').matchAll(/20\s%\s+([\d.]+)$/gm)].map((match) => match[1])
    expect(nets).toEqual(samples.sixtyLines.lines.map((line) => line.net))
    const last = pages.at(-1) ?? ''
    expect(last).toContain('Due 9 December 2026')
    expect(last).toMatch(/20\s%\s+3555\.00/) // the last line stays with the total
  })

  test.each(Array.from({ length: 14 }, (_, index) => index + 9))(
    '%d lines: nothing below the page, nothing alone',
    async (count) => {
      const view = { ...samples.sixtyLines, lines: samples.sixtyLines.lines.slice(0, count) }
      const pdf = await invoicePdf(view)
      const boxes = [...run('pdftotext', pdf, '-bbox').matchAll(/yMax="([\d.]+)"/g)].map((match) => Number(match[1]))
      expect(Math.max(...boxes)).toBeLessThan(841.89 - 20)
      const last = run('pdftotext', pdf, '-layout').split('\f').at(-2) ?? ''
      expect(last).toContain('Due 9 December')
      expect(last).toContain(view.lines.at(-1)?.net)
    },
  )

  test('a description longer than a page runs on and loses no word', async () => {
    const words = Array.from({ length: 1500 }, (_, index) => `w${index}`)
    const base = samples.oneLine.lines[0]
    if (!base) throw new Error('the sample has a line')
    const pdf = await invoicePdf({ ...samples.oneLine, lines: [{ ...base, description: words.join(' ') }] })
    const found = run('pdftotext', pdf, '-raw').match(/\bw\d+\b/g)
    expect(found).toEqual(words)
  })

  test('fonts are embedded and mapped to Unicode; the file is tagged, titled and has a language', async () => {
    const pdf = await invoicePdf(samples.unicodeNames)
    const fonts = run('pdffonts', pdf)
      .split('\n')
      .slice(2)
      .filter((row) => row.trim() !== '')
    expect(fonts.length).toBe(2)
    for (const row of fonts) expect(row).toMatch(/NotoSans-\w+ +CID TrueType +Identity-H +yes yes yes/)
    const info = run('pdfinfo', pdf)
    expect(info).toMatch(/^Tagged: +yes$/m)
    expect(info).toMatch(/^Title: +Invoice 2026-0420 · Æther & Łódź/m)
    expect(info).toMatch(/letter/)
    expect(pdf.toString('latin1')).toContain('/Lang (en-GB)')
    const tree = run('pdfinfo', pdf, '-struct-text')
    for (const tag of ['H1', 'Table', 'TR', 'TH', 'TD']) expect(tree).toMatch(new RegExp(`^ *${tag}\\b`, 'm'))
    expect(plain(tree)).toContain('"Animals, exempt"')
  })
})

test('the same view is the same file, byte for byte', async () => {
  const first = await invoicePdf(samples.sixtyLines)
  await new Promise((resolve) => setTimeout(resolve, 1100)) // a clock in the file would show by now
  expect((await invoicePdf(samples.sixtyLines)).equals(first)).toBe(true)
})

test('names the letters that the font cannot print and where each stands, and knows the European ones', async () => {
  const client = { ...samples.plainInvoice.client, name: 'Łódź Æther Ünï 水族 Ελλάς Море' }
  const lines = samples.plainInvoice.lines.map((line, index) =>
    index === 1 ? { ...line, description: '館 水' } : line,
  )
  expect(await unprintableLetters({ ...samples.plainInvoice, client, lines, notes: ['שלום'.slice(0, 1)] })).toEqual([
    { letter: '水', where: 'the client’s name' },
    { letter: '族', where: 'the client’s name' },
    { letter: '館', where: 'line 2' },
    { letter: 'ש', where: 'the note' },
  ])
  expect(await unprintableLetters(samples.unicodeNames)).toEqual([])
})

test('a date that is no date is refused', async () => {
  await expect(invoicePdf({ ...samples.plainInvoice, issueDateIso: '25.11.2026' })).rejects.toThrow(/issue date/)
})

// ISO 13616-1 prints the example of the registry so.
test('an IBAN is printed in groups of four', () => {
  expect(groupedByFour('GB82WEST12345698765432')).toBe('GB82 WEST 1234 5698 7654 32')
  expect(groupedByFour('BE68 5390 0754 7034')).toBe('BE68 5390 0754 7034')
})
