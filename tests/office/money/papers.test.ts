import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { parse } from 'csv-parse/sync'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { ourInvoices } from '@/lib/office/client-record/queries'
import type { Actor } from '@/lib/office/frame/actor'
import { creditInvoice, editDraft, recordPayment, recordReceipt, startDraft } from '@/lib/office/money/commands'
import {
  accountantFile,
  accountPage,
  booksPage,
  invoiceFile,
  invoicePage,
  moneyPage,
  statementPaper,
} from '@/lib/office/money/queries'
import { testDatabase } from '../../setup/database'
import { pinClock } from '../../setup/pinned-clock'
import { accepted, look } from '../clients/register'
import { fresh, invoiceOf, issue, makeFreeDraft, makePlace, makeSeller, type Place } from './books'

/** Nothing here is dated later. */
const TODAY = new Date('2026-12-15T10:00:00Z')

let actor: Actor
let place: Place
let invoiceId: string
let noteId: string
let draftId: string
const folder = mkdtempSync(path.join(tmpdir(), 'papers-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const PERIOD = { from: '2026-11-01', to: '2026-11-30' }
const FORMULA = '=HYPERLINK("http://bad.example","Open")'

beforeAll(async () => {
  await testDatabase()
  pinClock(TODAY)
  actor = await makeSeller('Tidepool Care')
  place = await makePlace(actor, FORMULA, { name: FORMULA })
  invoiceId = accepted(await startDraft(actor, { ...fresh(actor), clientId: place.clientId })).invoiceId
  const service = { serviceStart: '2026-11-03', serviceEnd: '2026-11-20' }
  const taxed = { taxCategory: 'S' as const, taxRate: '20', taxExemptionReason: '' }
  const lines = [
    {
      id: newId(),
      description: 'Call-out 18 Nov, 40 min',
      quantity: '1',
      unit: '',
      unitPrice: '55',
      ...taxed,
      ...service,
    },
    { id: newId(), description: '+44 tube', quantity: '3', unit: 'piece', unitPrice: '6.4015', ...taxed, ...service },
    {
      id: newId(),
      description: 'Course',
      quantity: '1.5',
      unit: 'hour',
      unitPrice: '40',
      taxCategory: 'E' as const,
      taxRate: '0',
      taxExemptionReason: 'Training, exempt by law',
      ...service,
    },
  ]
  accepted(await editDraft(actor, { ...fresh(actor), invoiceId, purchaseOrder: '@77120', note: 'With thanks.', lines }))
  accepted(await issue(actor, invoiceId, '2026-11-21'))
  const [first] = (await invoiceOf(actor, invoiceId)).invoiceLines
  const back = [{ lineId: first?.id ?? '', quantity: '0.5', effect: 'waive' as const }]
  noteId = accepted(
    await creditInvoice(actor, { ...fresh(actor), invoiceId, reason: 'Half only.', lines: back }),
  ).invoiceId
  accepted(await issue(actor, noteId, '2026-11-22'))
  const payment = { receivedOn: '2026-11-24', amount: '50', method: '', reference: '', overpaymentAccepted: false }
  accepted(await recordPayment(actor, { ...fresh(actor), invoiceId, ...payment }))
  draftId = await makeFreeDraft(actor, place.clientId)
})

describe('the accountant’s file', () => {
  // Read back by csv-parse, a program of its own, strict about RFC 4180.
  const readBack = async (who: Actor): Promise<Record<string, string>[]> =>
    parse(await textOf(accountantFile(who, PERIOD)), { bom: true, columns: true, record_delimiter: '\r\n' })

  test('has a row for each issued line with period, tax and order; its figures add up to the documents', async () => {
    const rows = await readBack(actor)
    expect(
      rows.map((row) => [row['document number'], row.line, row.net, row['tax category'], row['tax rate']]),
    ).toEqual([
      ['INV-0001', '1', '55.00', 'S', '20'],
      ['INV-0001', '2', '19.20', 'S', '20'], // 3 × 6.4015 = 19.2045
      ['INV-0001', '3', '60.00', 'E', '0'],
      ['CN-0001', '1', '-27.50', 'S', '20'],
    ])
    // Tax on the sum of the line nets of a category (BR-S-09): 20 % of 74.20 is 14.84.
    expect(rows[0]).toMatchObject({
      'service start': '2026-11-03',
      'service end': '2026-11-20',
      tax: '11.00',
      gross: '66.00',
    })
    expect(rows[2]).toMatchObject({ 'exemption reason': 'Training, exempt by law' })
    expect(rows[3]).toMatchObject({ 'credits number': 'INV-0001', quantity: '-0.5', tax: '-5.50', gross: '-33.00' })
    expect(rows.map(({ tax }) => tax)).toEqual(['11.00', '3.84', '0.00', '-5.50']) // 11.00 + 3.84: the document's 14.84
  })

  test('no cell of somebody’s text begins like a formula', async () => {
    const [row, second] = await readBack(actor)
    expect(row).toMatchObject({ client: `'${FORMULA}`, 'purchase order': "'@77120" })
    expect(second?.description).toBe("'+44 tube")
  })

  test('another business’s file is its own', async () => {
    expect(await readBack(await makeSeller('Another Round'))).toEqual([])
  })
})

test('the books add up: tax by category with the credit note taken off, documents, money received', async () => {
  const books = await booksPage(actor, PERIOD)
  expect(books.taxSums).toMatchObject([
    { category: 'S', ratePercent: '20', taxableMinor: 7420 - 2750, taxMinor: 1484 - 550 },
    { category: 'E', ratePercent: '0', taxableMinor: 6000, taxMinor: 0 },
  ])
  const sum = books.documents.reduce((total, row) => total + row.grossMinor, 0)
  expect(sum).toBe(books.taxSums.reduce((total, row) => total + row.taxableMinor + row.taxMinor, 0))
  expect(books.payments).toMatchObject([{ settles: 'INV-0001', amountMinor: 5000, inHandMinor: 0 }])
  expect(books.paymentSums).toEqual([{ currency: 'GBP', count: 1, minor: 5000 }])
})

describe('who sees it', () => {
  const personOf = (clientId: string): Actor => ({ ...actor, personId: newId(), roles: ['client'], clientId })

  test('the client sees its own issued documents, and no draft', async () => {
    const client = personOf(place.clientId)
    expect((await invoicePage(client, invoiceId))?.view.number).toBe('INV-0001')
    expect((await invoiceFile(client, noteId, { standing: false }))?.fileName).toBe('credit-note-cn-0001.pdf')
    expect(await invoicePage(client, draftId)).toBeNull()
    expect(await invoiceFile(client, draftId, { standing: false })).toBeNull()
  })

  test('the client is never told to owe what was credited; a credit note is a negative sum', async () => {
    const { invoices } = await ourInvoices(personOf(place.clientId), TODAY)
    // 149.04 less 33.00 credited and 50.00 paid.
    expect(invoices.map(({ number, grossMinor, outstandingMinor }) => [number, grossMinor, outstandingMinor])).toEqual([
      ['CN-0001', -3300, 0],
      ['INV-0001', 14_904, 6604],
    ])
  })

  test('the client reads the balance of our books, and what is in hand of theirs', async () => {
    const said = { receivedOn: '2026-12-05', method: '', reference: 'In advance', overpaymentAccepted: true }
    accepted(
      await recordReceipt(actor, { ...fresh(actor), clientId: place.clientId, amount: '100', parts: [], ...said }),
    )
    const { balances } = await ourInvoices(personOf(place.clientId), TODAY)
    expect(balances).toMatchObject([{ outstandingMinor: 6604, inHandMinor: 10_000, debtorsMinor: -3396 }])
    expect(balances).toEqual(
      (await accountPage(actor, place.clientId, {}, TODAY))?.currencies.map((one) => one.balance),
    )
    const other = await makePlace(actor, 'Shingle House')
    expect((await ourInvoices(personOf(other.clientId), TODAY)).balances).toMatchObject([{ debtorsMinor: 0 }])
  })

  test('another client and another business see nothing', async () => {
    const other = await makePlace(actor, 'Quay House')
    const stranger = await makeSeller('Another Round')
    for (const who of [personOf(other.clientId), stranger]) {
      expect(await invoicePage(who, invoiceId)).toBeNull()
      expect(await invoiceFile(who, invoiceId, { standing: true })).toBeNull()
    }
    const page = await moneyPage(stranger, { filter: 'all', search: '', page: 1 })
    expect(page).toMatchObject({ invoices: [], drafts: { total: 0 }, unbilled: { total: 0, groups: [] }, clients: [] })
  })
})

function hasPoppler(): boolean {
  try {
    execFileSync('pdftotext', ['-v'], { stdio: 'ignore' })
    return true
  } catch {
    return false
  }
}
const poppler = hasPoppler()

// Read back by poppler's pdftotext, which shares nothing with the writer.
describe.skipIf(!poppler)(`on paper${poppler ? '' : ' (skipped: poppler-utils is not installed)'}`, () => {
  async function textOf(id: string, standing: boolean): Promise<string> {
    const made = await invoiceFile(actor, id, { standing })
    const file = path.join(folder, 'paper.pdf')
    writeFileSync(file, made?.bytes ?? '')
    return execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' }).replace(/[^\S\n]+/g, ' ')
  }

  test('the figures of the database stand on the paper, and those of the standing after them', async () => {
    const issued = await textOf(invoiceId, false)
    for (const words of [
      'INV-0001',
      '21 November 2026',
      'Tidepool Care Ltd',
      'VAT no. XX 000 0000 00',
      '@77120',
      'Net £134.20',
      'VAT 20 % of £74.20 £14.84',
      'Exempt, on £60.00 £0.00',
      'Exempt: Training, exempt by law',
      'Due 5 December 2026 £149.04',
      'GB82 WEST 1234 5698 7654 32',
      'With thanks.',
    ])
      expect(issued).toContain(words)
    expect(issued).not.toContain('50.00')
    const now = await textOf(invoiceId, true)
    for (const words of ['Credit note CN-0001 −£33.00', 'Paid 24 November 2026 −£50.00', 'Due 5 December 2026 £66.04'])
      expect(now).toContain(words)
    expect(await textOf(noteId, false)).toMatch(
      /Invoice INV-0001 of[\s\S]*21 November 2026[\s\S]*Credited to you £33\.00/,
    )
    expect(await textOf(draftId, false)).toContain('Draft')
  })

  test('a statement of account says what was owed before, every paper and payment, and what is owed now', async () => {
    const made = await statementPaper(actor, place.clientId, PERIOD)
    const file = path.join(folder, 'statement.pdf')
    writeFileSync(file, made?.bytes ?? '')
    const read = execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' }).replace(/[^\S\n]+/g, ' ')
    for (const words of [
      'Statement, 1–30 November 2026',
      '1 November 2026 Opening balance, GBP 0.00',
      '21 November 2026 Invoice INV-0001 149.04 149.04',
      '22 November 2026 Credit note CN-0001 −33.00 116.04',
      '24 November 2026 Payment −50.00 66.04',
      '30 November 2026 Closing balance, GBP 66.04',
      'Not yet due 66.04',
      'Balance in GBP 66.04',
    ])
      expect(read).toContain(words)
    expect((await statementPaper(actor, place.clientId, PERIOD))?.bytes.equals(made?.bytes ?? Buffer.alloc(0))).toBe(
      true,
    )
  })

  test('the same invoice is the same file, whatever became of the register since', async () => {
    const before = (await invoiceFile(actor, invoiceId, { standing: false }))?.bytes
    await look(actor, async (tx) => {
      const { businessId } = actor
      await tx.client.updateMany({ where: { businessId }, data: { name: 'Renamed', billingName: 'Renamed' } })
      await tx.tank.updateMany({ where: { businessId }, data: { name: 'Renamed' } })
      await tx.business.update({
        where: { id: businessId },
        data: { legalName: 'Sold Ltd', iban: '', locale: 'de-DE' },
      })
    })
    const after = (await invoiceFile(actor, invoiceId, { standing: false }))?.bytes
    expect(after?.equals(before ?? Buffer.alloc(0))).toBe(true)
  })
})

async function textOf(pieces: AsyncGenerator<string>): Promise<string> {
  let text = ''
  for await (const piece of pieces) text += piece
  return text
}
