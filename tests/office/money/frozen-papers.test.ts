import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { parse } from 'csv-parse/sync'
import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { creditInvoice, editDraft, makeDrafts, startDraft, taxPrices } from '@/lib/office/money/commands'
import {
  accountantFile,
  booksPage,
  invoiceFile,
  invoicePage,
  pricesPage,
  taxFile,
  taxPage,
} from '@/lib/office/money/queries'
import { addLogo, changeBusinessSettings, removeLogo } from '@/lib/office/settings/commands'
import { readSettings, settingsPage } from '@/lib/office/settings/queries'
import { businessSettingsSchema, MOST_LOGO_BYTES } from '@/lib/office/settings/schema'
import { testDatabase } from '../../setup/database'
import { pinClock } from '../../setup/pinned-clock'
import { accepted, fresh as envelope, look, makeBusiness, makeClient } from '../clients/register'
import { fresh, invoiceOf, issue, makeDoneVisit, makeFreeDraft, makePlace, makePrice, makeSeller } from './books'

const folder = mkdtempSync(path.join(tmpdir(), 'frozen-papers-'))
beforeAll(async () => {
  pinClock(new Date('2026-12-15T10:00:00Z'))
  process.env.TANKROUND_FILES = folder
  await testDatabase()
})
afterAll(() => {
  delete process.env.TANKROUND_FILES
  rmSync(folder, { recursive: true, force: true })
})

async function rowsOf(file: AsyncGenerator<string>): Promise<Record<string, string>[]> {
  let whole = ''
  for await (const piece of file) whole += piece
  return parse(whole, { bom: true, columns: true })
}

/** The settings form as it stands, with changes, sent. */
async function settle(actor: Actor, changes: Record<string, string>) {
  const form = businessSettingsSchema.parse({ ...(await readSettings(actor)), ...envelope(actor), ...changes })
  return changeBusinessSettings(actor, form)
}

const NEW_YORK = {
  ...{
    name: 'Pier Street Reef Care LLC',
    country: 'US',
    currency: 'USD',
    locale: 'en-US',
    city: 'New York',
    region: 'NY',
  },
  ...{ postcode: '10001', address: '40 Pier Street\nUnit 6', timeZone: 'America/New_York', companyNumber: 'L-77' },
  ...{
    routingNumber: '1221-05155',
    accountNumber: '000 123 456 789',
    paperFooter: 'Thank you.',
    endpoint: '0060:000000000',
  },
  ...{ defaultTaxCategory: 'S', defaultTaxParts: 'State 4 + City 4.5 + Transit 0.375' },
}

describe('an invoice of the United States, from settings to paper', () => {
  let actor: Actor
  let invoiceId: string

  beforeAll(async () => {
    actor = await makeBusiness('Pier Street')
    accepted(await settle(actor, NEW_YORK))
    const place = await makePlace(actor, 'Lantern Square', {
      ...{ name: 'Lantern Square', billingName: 'Lantern Square Holdings Inc', billingAddress: '9 Lantern Square' },
      ...{ billingCity: 'Yonkers', billingRegion: 'NY', billingPostcode: '10701', billingCountry: 'US' },
      ...{ taxNumber: '00-0000000', companyNumber: 'C-5', buyerReference: 'Facilities', endpoint: '0060:111111111' },
    })
    await makePrice(actor, { name: 'Call-out', taxRate: '0', taxParts: 'State 4 + City 4.5 + Transit 0.375' })
    await makeDoneVisit(actor, place, '2026-11-18', { kind: 'call_out' })
    const months = { through: '2026-11', since: '2026-01' }
    const made = accepted(await makeDrafts(actor, { ...fresh(actor), ...months }))
    invoiceId = made.invoiceIds[0] ?? ''
    accepted(await issue(actor, invoiceId, '2026-11-25'))
  })

  test('freezes both parties in pieces, and where to pay', async () => {
    const { seller, buyer } = await invoiceOf(actor, invoiceId)
    expect(seller).toMatchObject({
      name: 'Pier Street Reef Care LLC',
      address: {
        streetLines: ['40 Pier Street', 'Unit 6'],
        place: 'New York',
        region: 'NY',
        postcode: '10001',
        country: 'US',
      },
      companyNumber: 'L-77',
      endpoint: '0060:000000000',
      routingNumber: '122105155',
      accountNumber: '000123456789',
      footer: 'Thank you.',
      style: { locale: 'en-US', pageSize: 'LETTER' },
    })
    expect(buyer).toMatchObject({
      name: 'Lantern Square Holdings Inc',
      address: { streetLines: ['9 Lantern Square'], place: 'Yonkers', region: 'NY', postcode: '10701', country: 'US' },
      ...{ taxNumber: '00-0000000', companyNumber: 'C-5', reference: 'Facilities', endpoint: '0060:111111111' },
    })
  })

  test('charges each named tax once, at a rate of three decimals together', async () => {
    const invoice = await invoiceOf(actor, invoiceId)
    expect(invoice.invoiceLines.map((line) => [line.taxRate.toFixed(), line.unitCode])).toEqual([['8.875', 'C62']])
    // 55.00: 4 % is 2.20, 4.5 % is 2.475 (half up 2.48), 0.375 % is 0.20625.
    expect(invoice.taxBreakdown).toMatchObject([
      { name: 'State', taxableMinor: 5500, taxMinor: 220 },
      { name: 'City', taxableMinor: 5500, taxMinor: 248 },
      { name: 'Transit', taxableMinor: 5500, taxMinor: 21 },
    ])
    expect(invoice).toMatchObject({ netMinor: 5500, taxMinor: 489, grossMinor: 5989 })
  })

  test.each(['issue', 'service'] as const)('is reported by each named tax, its net once, by %s', async (basis) => {
    const period = { from: '2026-11-01', to: '2026-11-30' }
    const { taxSums } = await booksPage(actor, { ...period, basis })
    expect(
      taxSums.map(({ words, ratePercent, taxableMinor, netMinor, taxMinor }) => [
        words,
        ratePercent,
        taxableMinor,
        netMinor,
        taxMinor,
      ]),
    ).toEqual([
      ['Transit', '0.375', 5500, 0, 21],
      ['State', '4', 5500, 5500, 220],
      ['City', '4.5', 5500, 0, 248],
    ])
    const asked = { ...period, basis, currency: 'USD', category: 'S' as const, ratePercent: '4.5', page: 1 }
    expect((await taxPage(actor, { ...asked, name: 'City' })).documents).toMatchObject([
      { id: invoiceId, taxMinor: 248 },
    ])
    expect((await taxPage(actor, { ...asked, name: 'State' })).documents).toEqual([])
    const lines = await rowsOf(accountantFile(actor, period))
    expect(lines).toMatchObject([{ net: '55.00', tax: '4.89', gross: '59.89', 'tax rate': '8.875' }])
    const sums = await rowsOf(taxFile(actor, period, basis))
    expect(sums.map((row) => [row['tax name'], row['taxed amount'], row.net, row.tax])).toEqual([
      ['Transit', '55.00', '0.00', '0.21'],
      ['State', '55.00', '55.00', '2.20'],
      ['City', '55.00', '0.00', '2.48'],
    ])
  })

  test('a credit note takes the named taxes and the unit’s code along', async () => {
    const [line] = (await invoiceOf(actor, invoiceId)).invoiceLines
    const lines = [{ lineId: line?.id ?? '', quantity: '1', effect: 'waive' as const }]
    const note = accepted(await creditInvoice(actor, { ...fresh(actor), invoiceId, reason: 'All of it.', lines }))
    const credit = await invoiceOf(actor, note.invoiceId)
    expect(credit).toMatchObject({ taxMinor: 489, grossMinor: 5989 })
    expect(credit.invoiceLines[0]).toMatchObject({ unitCode: line?.unitCode, taxParts: line?.taxParts })
  })

  test('the same invoice is the same file, whatever becomes of settings and client', async () => {
    const before = (await invoiceFile(actor, invoiceId, { standing: false }))?.bytes
    accepted(await settle(actor, { region: 'NJ', paperFooter: 'Moved.', routingNumber: '', accountNumber: '1234567' }))
    await look(actor, (tx) =>
      tx.client.updateMany({
        where: { businessId: actor.businessId },
        data: { billingRegion: 'NJ', buyerReference: 'x' },
      }),
    )
    const after = (await invoiceFile(actor, invoiceId, { standing: false }))?.bytes
    expect(after?.equals(before ?? Buffer.alloc(0))).toBe(true)
  })
})

test('the unit of a line and of a price keeps its word and gets its code', async () => {
  const actor = await makeSeller('Unit Tanks')
  const priceId = await makePrice(actor, { name: 'Salt', kind: 'part', unit: 'kg', unitPrice: '4' })
  const draft = await makeFreeDraft(actor, await makeClient(actor, { name: 'Quay House' }))
  const price = await look(actor, (tx) => tx.priceItem.findFirstOrThrow({ where: { id: priceId } }))
  expect(price).toMatchObject({ unit: 'kg', unitCode: 'KGM' })
  expect((await invoiceOf(actor, draft)).invoiceLines[0]).toMatchObject({ unit: 'hour', unitCode: 'HUR' })
})

describe('letters that the paper cannot print', () => {
  test('stop the issuing, named with their place; written otherwise it is issued', async () => {
    const actor = await makeSeller('Letter Tanks')
    const clientId = await makeClient(actor, { name: '水族館', billingAddress: '1 Mill Road', billingCity: 'Weyburn' })
    const draft = await makeFreeDraft(actor, clientId, { description: 'Advice on 魚' })
    const words =
      'The paper cannot print “水” in the client’s name, “族” in the client’s name, “館” in the client’s name, “魚” in line 1. Write it in Latin, Greek or Cyrillic letters.'
    expect((await invoicePage(actor, draft))?.issues).toContainEqual({
      ...{ code: 'unprintable-letters', blocking: true, message: words },
    })
    expect(await issue(actor, draft)).toMatchObject({ ok: false, reason: 'not-ready', words })
    expect((await invoiceOf(actor, draft)).number).toBeNull()
    await look(actor, (tx) =>
      tx.client.updateMany({ where: { businessId: actor.businessId }, data: { billingName: 'Suizokukan Łódź' } }),
    )
    const again = await makeFreeDraft(actor, clientId)
    expect(await issue(actor, again)).toMatchObject({ ok: true })
  })
})

describe('numbers that go on from the old books', () => {
  test('begin where the owner says, only upward, and leave no gap from there', async () => {
    const actor = await makeSeller('Old Books')
    const clientId = await makeClient(actor, { name: 'Quay House', billingAddress: '1 Mill Road' })
    const next = async () => accepted(await issue(actor, await makeFreeDraft(actor, clientId))).number
    accepted(await settle(actor, { invoicePrefix: 'OB-', nextInvoiceNumber: '1184' }))
    expect((await settingsPage(actor)).nextNumbers).toEqual({ invoice: 'OB-1184', creditNote: '0001' })
    expect([await next(), await next()]).toEqual(['OB-1184', 'OB-1185'])
    expect(await settle(actor, { nextInvoiceNumber: '1185' })).toMatchObject({
      ok: false,
      fields: { nextInvoiceNumber: ['Go on at 1186 or higher, so that no number is given out twice.'] },
    })
    accepted(await settle(actor, { name: 'Old Books Again' }))
    expect(await next()).toBe('OB-1186')
    // A nought too many is put right as long as no paper bears it.
    accepted(await settle(actor, { nextInvoiceNumber: '20000' }))
    accepted(await settle(actor, { nextInvoiceNumber: '2000', nextCreditNoteNumber: '77', creditNotePrefix: 'C-' }))
    expect((await settingsPage(actor)).nextNumbers).toEqual({ invoice: 'OB-2000', creditNote: 'C-0077' })
    expect(await next()).toBe('OB-2000')
    expect(await settle(actor, { nextInvoiceNumber: '1999' })).toMatchObject({ ok: false })
  })
})

describe('becoming registered for tax', () => {
  test('all prices without tax are changed at once, from a day on', async () => {
    const actor = await makeBusiness('Newly Registered')
    const place = { address: '8 Shingle Row', city: 'Port Ellery', postcode: 'PE1 9SR' }
    accepted(await settle(actor, { ...place, defaultTaxCategory: 'O' }))
    const none = { taxCategory: 'O', taxRate: '0', taxExemptionReason: 'Not subject to VAT' } as const
    await makePrice(actor, { name: 'Call-out', ...none })
    await makePrice(actor, { name: 'Tube', kind: 'part', unit: 'piece', unitPrice: '6.40', ...none })
    await makePrice(actor, {
      name: 'Tube',
      kind: 'part',
      unit: 'piece',
      unitPrice: '7',
      ...none,
      validFrom: '2027-01-01',
    })
    await makePrice(actor, {
      name: 'Book',
      kind: 'part',
      unit: 'piece',
      unitPrice: '9',
      taxCategory: 'Z',
      taxRate: '0',
    })
    expect((await settingsPage(actor)).pricesTaxedOtherwise).toBe(1) // zero rated, of somebody who is not registered
    accepted(await settle(actor, { defaultTaxCategory: 'S', defaultTaxRate: '20', taxNumber: 'GB 000 0000 00' }))
    expect((await settingsPage(actor)).pricesTaxedOtherwise).toBe(2)
    const changed = accepted(await taxPrices(actor, { ...fresh(actor), validFrom: '2026-12-01' }))
    expect(changed).toEqual({ changed: 2 })
    const rows = await look(actor, (tx) =>
      tx.priceItem.findMany({
        where: { businessId: actor.businessId },
        orderBy: [{ name: 'asc' }, { validFrom: 'asc' }],
      }),
    )
    expect(
      rows.map((row) => [
        ...[row.name, row.validFrom.toISOString().slice(0, 10), row.unitPrice.toFixed()],
        ...[row.taxCategory, row.taxRate.toFixed(), row.taxExemptionReason],
      ]),
    ).toEqual([
      ['Book', '2026-01-01', '9', 'Z', '0', ''],
      ['Call-out', '2026-01-01', '55', 'O', '0', 'Not subject to VAT'],
      ['Call-out', '2026-12-01', '55', 'S', '20', ''],
      ['Tube', '2026-01-01', '6.4', 'O', '0', 'Not subject to VAT'],
      ['Tube', '2026-12-01', '6.4', 'S', '20', ''],
      ['Tube', '2027-01-01', '7', 'S', '20', ''],
    ])
    expect(await taxPrices(actor, { ...fresh(actor), validFrom: '2026-12-01' })).toMatchObject({
      ok: false,
      reason: 'already-so',
    })
    expect((await pricesPage(actor)).taxedOtherwise).toBe(0)
  })

  test('an invoice of somebody who is not registered says nothing of tax and needs no number', async () => {
    const actor = await makeBusiness('Not Registered')
    const place = { address: '8 Shingle Row', city: 'Port Ellery', postcode: 'PE1 9SR' }
    accepted(
      await settle(actor, { ...place, defaultTaxCategory: 'O', sortCode: '00 00 00', accountNumber: '00000000' }),
    )
    const clientId = await makeClient(actor, {
      name: 'Quay House',
      billingAddress: '1 Mill Road',
      billingCity: 'Weyburn',
    })
    const { invoiceId } = accepted(await startDraft(actor, { ...fresh(actor), clientId }))
    // As a form sends it: the field of the rate is not shown.
    const { taxCategory } = accepted({
      ok: true,
      value: (await invoicePage(actor, invoiceId))?.defaultTax ?? expect.fail(),
    })
    const when = { serviceStart: '2026-11-02', serviceEnd: '2026-11-02' }
    const line = { id: newId(), description: 'Advice', quantity: '2', unit: 'hour', unitPrice: '40', ...when }
    const taxed = { taxCategory, taxRate: '0', taxExemptionReason: 'Not subject to VAT' }
    accepted(
      await editDraft(actor, {
        ...fresh(actor),
        invoiceId,
        purchaseOrder: '',
        note: '',
        lines: [{ ...line, ...taxed }],
      }),
    )
    accepted(await issue(actor, invoiceId))
    const view = (await invoicePage(actor, invoiceId))?.view
    expect(view).toMatchObject({ taxName: '', summary: [], notes: [expect.stringContaining('as the reference')] })
    expect(view?.final).toEqual({ label: 'Due 9\u00a0December\u00a02026', amount: '£80.00' })
    expect(view?.payment?.others).toEqual([
      { label: 'Sort code', value: '00-00-00' },
      { label: 'Account number', value: '00000000' },
    ])
  })
})

describe('the logo', () => {
  const picture = (width: number, height: number) =>
    sharp({ create: { width, height, channels: 4, background: { r: 20, g: 90, b: 140, alpha: 0.5 } } })

  test('is taken as PNG or JPEG of bounded size, nothing else', async () => {
    const actor = await makeSeller('Logo Refused')
    const send = (bytes: Uint8Array) => addLogo(actor, envelope(actor), bytes)
    const svg = Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>')
    expect(await send(svg)).toMatchObject({ ok: false, reason: 'not-a-picture' })
    expect(await send(await picture(9, 9).webp().toBuffer())).toMatchObject({ ok: false, reason: 'not-a-picture' })
    expect(await send(new Uint8Array(MOST_LOGO_BYTES + 1))).toMatchObject({ ok: false, reason: 'too-large' })
    expect(await send(await picture(4000, 2000).png().toBuffer())).toMatchObject({ ok: true })
    expect(await look(actor, (tx) => tx.business.findFirstOrThrow())).toMatchObject({
      logoWidthPx: 800,
      logoHeightPx: 400,
    })
  })

  test('stands on what is issued with it, also when it is taken off later, and on nothing of another business', async () => {
    const actor = await makeSeller('Logo Tanks')
    const other = await makeSeller('Other Tanks')
    const clientId = await makeClient(actor, { name: 'Quay House', billingAddress: '1 Mill Road' })
    accepted(await addLogo(actor, envelope(actor), await picture(300, 100).png().toBuffer()))
    const withLogo = await makeFreeDraft(actor, clientId)
    accepted(await issue(actor, withLogo))
    const bytes = (await invoiceFile(actor, withLogo, { standing: false }))?.bytes ?? Buffer.alloc(0)
    expect(bytes.toString('latin1')).toContain('/Subtype /Image')
    expect(bytes.toString('latin1')).not.toContain('/SMask') // on white: transparency does not print everywhere
    accepted(await removeLogo(actor, envelope(actor)))
    const without = await makeFreeDraft(actor, clientId)
    accepted(await issue(actor, without))
    expect((await invoiceFile(actor, without, { standing: false }))?.bytes.toString('latin1')).not.toContain('/Image /')
    expect((await invoiceFile(actor, withLogo, { standing: false }))?.bytes.equals(bytes)).toBe(true)
    expect((await settingsPage(other)).logoSha256).toBeNull()
    expect(await removeLogo(actor, envelope(actor))).toMatchObject({ ok: false, reason: 'already-so' })
    expect(await removeLogo(other, envelope(actor))).toMatchObject({ ok: false })
  })
})
