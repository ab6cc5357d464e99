import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import sharp from 'sharp'
import { afterAll, describe, expect, test } from 'vitest'
import { invoiceView } from '@/lib/office/money/projection'
import { invoicePdf } from '@/lib/platform/pdf/invoice-pdf'
import {
  exempt,
  otherCurrency,
  reverseCharge,
  sixtyLines,
  ukCreditNote,
  ukNotRegistered,
  ukRegistered,
  usStacked,
} from './paper-samples'

// What a paper of each country must say and must not say. Read back by poppler's programs, which share nothing with the writer.
const folder = mkdtempSync(path.join(tmpdir(), 'country-papers-'))
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

function run(program: string, pdf: Buffer, ...options: string[]): string {
  const file = path.join(folder, 'paper.pdf')
  writeFileSync(file, pdf)
  return execFileSync(program, [...options, file, ...(program === 'pdftotext' ? ['-'] : [])], { encoding: 'utf8' })
}

const samples = {
  ...{ ukRegistered, ukNotRegistered, ukCreditNote, reverseCharge },
  ...{ exempt, usStacked, sixtyLines, otherCurrency },
}
type Sample = (typeof samples)['ukRegistered']
const pdfOf = ({ document, style }: Sample) => invoicePdf(invoiceView(document, style))
/** The lines of the paper, every kind of space as one plain space. */
async function linesOf(sample: Sample): Promise<string[]> {
  const text = run('pdftotext', await pdfOf(sample), '-layout')
  return text.split('\n').map((line) => line.replace(/[^\S\n]+/g, ' ').trim())
}

type Words = { says: string[]; saysNot: RegExp[] }

/**
 * Sources: what must stand on a British invoice: VAT Regulations 1995 (SI 1995/2518), regulation 14(1), as HM Revenue and Customs sums it up in VATREC5010; the words beside what is
 * not taxed: EN 16931-1, BR-E-10 and BR-AE-10; orders of addresses: Universal Postal Union, addressing formats by country, from memory; dates, signs
 * and grouping of figures: CLDR, as this machine's Intl has it. The rest is common practice, no source.
 */
const PAPERS: Record<keyof typeof samples, Words> = {
  ukRegistered: {
    says: [
      'VAT no. GB 000 0000 00',
      'Company no. 00000000',
      'What Quantity Price VAT Net',
      'Course for the caretakers 2 hours 40.00 Exempt 80.00',
      'Care sheet, printed 3 2.50 Zero rated 7.50',
      'Net £335.30',
      'VAT 20 % of £247.80 £49.56',
      'Zero rated, on £7.50 £0.00',
      'Exempt, on £80.00 £0.00',
      'Due 9 December 2026 £384.86',
      'Sort code 00-00-00',
      'Account number 00000000',
      'Exempt: Education, VAT Act 1994, Schedule 9, Group 6',
      'Registered in England and Wales no. 00000000',
    ],
    saysNot: [/IBAN/, /Tax no\./, /BIC/],
  },
  ukNotRegistered: {
    says: ['Trading as Vale Tanks', 'What Quantity Price Amount', 'Due 9 December 2026 £247.80', 'Sort code 00-00-00'],
    saysNot: [/VAT/, /[Tt]ax/, /Outside/, /^Net £/m, /Not subject/],
  },
  ukCreditNote: {
    says: [
      'Invoice INV-0418 of',
      'VAT 20 % of £90.00 £18.00',
      'Credited to you £108.00',
      'One visit of November was missed.',
    ],
    saysNot: [/How to pay/, /Sort code/, /as the reference/],
  },
  reverseCharge: {
    says: [
      '25899 Norderbüll',
      'GERMANY',
      'IRELAND',
      'VAT no. DE000000000',
      'VAT no. IE 0000000XX',
      'Your reference 04011000-12345-67',
      'Reverse charge, on €235.00 €0.00',
      'IE29 AIBK 9311 5212 3456 78',
    ],
    saysNot: [/VAT 0/, /^Reverse charge$/m],
  },
  exempt: {
    says: [
      '25899 Norderbüll',
      'Exempt, on 2.040,75 € 0,00 €',
      'Tax no. 00/000/00000',
      'Kleinunternehmer, § 19 UStG',
      'Unterricht, § 4 Nr. 21 UStG',
      'Due 9 December 2026 2.040,75 €',
    ],
    saysNot: [/GERMANY/, /DEUTSCHLAND/, /Exempt: /, /VAT no/],
  },
  usStacked: {
    says: [
      'Yonkers, NY 10701',
      'New York, NY 10001',
      'November 25, 2026',
      'Service November 1–30, 2026',
      'Dosing tube 2 6.40 8.875 % 12.80',
      'Permit, passed on at cost 1 12.00 Not taxed 12.00',
      // 247.80 × 4 % = 9.912, × 4.5 % = 11.151, × 0.375 % = 0.92925.
      'NY State sales tax 4 % of $247.80 $9.91',
      'New York City sales tax 4.5 % of $247.80 $11.15',
      'MCTD surcharge 0.375 % of $247.80 $0.93',
      'Due December 9, 2026 $281.79',
      'Routing number 122105155',
      'Account number 000123456789',
    ],
    saysNot: [/VAT/, /IBAN/, /Sort code/, /UNITED STATES/],
  },
  // Σ k(k + ¼) for k = 1…60 is 73,810 + 457.50 = 74,267.50; each sixth at 5 %: 36 × 385 + 1.5 × 55 = 13,942.50, of which 697.125.
  sixtyLines: {
    says: [
      'Net £74,267.50',
      'VAT 5 % of £13,942.50 £697.13',
      'VAT 20 % of £60,325.00 £12,065.00',
      'Due 9 December 2026 £87,029.63',
    ],
    saysNot: [/�/],
  },
  otherCurrency: {
    says: [
      'Export, on JP¥122,500 JP¥0',
      'Due 9 December 2026 JP¥122,500',
      '980-0000 Sendai',
      'JAPAN',
      'UNITED KINGDOM',
    ],
    saysNot: [/£/, /^Export$/m],
  },
}

describe.skipIf(!poppler)(`papers by country${poppler ? '' : ' (skipped: poppler-utils is not installed)'}`, () => {
  test.each(Object.keys(PAPERS) as (keyof typeof samples)[])('%s', async (name) => {
    const text = (await linesOf(samples[name])).join('\n')
    for (const words of PAPERS[name].says) expect(text).toContain(words)
    for (const words of PAPERS[name].saysNot) expect(text).not.toMatch(words)
  })

  test('in the United Kingdom place and postcode stand on a line each, in the United States together', async () => {
    const lines = await linesOf(ukRegistered)
    const place = lines.findIndex((line) => line.startsWith('Port Ellery ') || line === 'Port Ellery')
    expect(lines.slice(place + 1, place + 2).join()).toMatch(/^PE1 4HL/)
    expect(await linesOf(usStacked)).toContain('New York, NY 10001')
  })

  test('a paper of the United States is Letter, the others A4', async () => {
    expect(run('pdfinfo', await pdfOf(usStacked))).toMatch(/^Page size: +612 x 792/m)
    expect(run('pdfinfo', await pdfOf(exempt))).toMatch(/\(A4\)/)
  })

  test('the footer stands on every page, above nothing', async () => {
    const pdf = await pdfOf(sixtyLines)
    const pages = run('pdftotext', pdf, '-layout').split('\f').slice(0, -1)
    expect(pages.length).toBeGreaterThan(2)
    for (const page of pages) expect(page).toContain('Registered in England and Wales no. 00000000')
    const boxes = [...run('pdftotext', pdf, '-bbox').matchAll(/yMax="([\d.]+)"/g)].map((match) => Number(match[1]))
    expect(Math.max(...boxes)).toBeLessThan(841.89 - 14)
  })

  test('without an account nobody is told how to pay, nor to give a reference', async () => {
    const { document, style } = ukNotRegistered
    const seller = { ...document.seller, sortCode: '', accountNumber: '' }
    const text = (await linesOf({ document: { ...document, seller }, style })).join('\n')
    expect(text).not.toMatch(/How to pay|as the reference/)
  })

  test('a logo is printed within its box, named for screen readers, and the file stays the same', async () => {
    const { document, style } = ukRegistered
    const bytes = await sharp({ create: { width: 900, height: 200, channels: 3, background: '#2a6f97' } })
      .png()
      .toBuffer()
    const logo = { bytes, widthPx: 900, heightPx: 200 }
    const view = invoiceView(document, style)
    const pdf = await invoicePdf(view, logo)
    expect((await invoicePdf(view, logo)).equals(pdf)).toBe(true)
    const [, , image] = run('pdfimages', pdf, '-list').split('\n')
    // 150 points for 900 px: 432 px to an inch.
    expect(image).toMatch(/image +900 +200 +rgb +3 +8 .* 432 +432/)
    expect(pdf.toString('latin1')).toContain('/S /Figure')
    expect(pdf.toString('latin1')).toMatch(/\/Alt \(Logo of Harbour Lane Aquarium Care Ltd\)/)
    expect(run('pdftotext', pdf, '-layout')).toContain('Harbour Lane Aquarium Care Ltd')
  })
})
