import { beforeAll, describe, expect, test } from 'vitest'
import type { Actor } from '@/lib/office/actor'
import { correctPayment, creditInvoice, recordPayment } from '@/lib/office/money/commands'
import { invoicePage, moneyPage } from '@/lib/office/money/queries'
import type { RecordPayment } from '@/lib/office/money/schema'
import { askAs, testDatabase } from '../../setup/database'
import { accepted } from '../clients/register'
import { fresh, invoiceOf, issue, makeFreeDraft, makePlace, makeSeller, type Place } from './books'

let actor: Actor
let place: Place

beforeAll(async () => {
  await testDatabase()
  actor = await makeSeller('Tidepool Care')
  place = await makePlace(actor, 'Brindle Hotel')
})

/** An issued invoice of 48.00. */
async function issued(): Promise<string> {
  const draft = await makeFreeDraft(actor, place.clientId)
  accepted(await issue(actor, draft))
  return draft
}

function pay(invoiceId: string, amount: string, given: Partial<RecordPayment> = {}) {
  const plain = { receivedOn: '2026-11-25', method: '', reference: '', overpaymentAccepted: false }
  return recordPayment(actor, { ...fresh(actor), invoiceId, amount, ...plain, ...given })
}

test('part, then the rest: part paid, then paid', async () => {
  const invoice = await issued()
  expect(accepted(await pay(invoice, '20'))).toMatchObject({ state: 'part_paid', outstandingMinor: 2800 })
  expect(accepted(await pay(invoice, '28,00'))).toMatchObject({ state: 'paid', outstandingMinor: 0 })
})

test('more than is owed is asked about, then taken when somebody says yes', async () => {
  const invoice = await issued()
  const asked = await pay(invoice, '50')
  expect(asked).toMatchObject({ ok: false, reason: 'overpaid' })
  expect(JSON.stringify(asked)).toContain('2.00 GBP more than is owed (48.00 GBP)')
  const taken = accepted(await pay(invoice, '50', { overpaymentAccepted: true }))
  expect(taken).toMatchObject({ state: 'overpaid', outstandingMinor: -200 })
  expect(accepted(await pay(invoice, '-2'))).toMatchObject({ state: 'paid' })
})

test('a correction takes the place of the wrong entry, also to nothing; the wrong one stays in the table', async () => {
  const invoice = await issued()
  const { paymentId } = accepted(await pay(invoice, '48'))
  const said = { receivedOn: '2026-11-25', method: '', reference: '', overpaymentAccepted: false }
  const right = accepted(await correctPayment(actor, { ...fresh(actor), paymentId, amount: '40', ...said }))
  expect(right).toMatchObject({ state: 'part_paid', outstandingMinor: 800 })
  expect(await correctPayment(actor, { ...fresh(actor), paymentId, amount: '1', ...said })).toMatchObject({
    reason: 'already-so',
  })
  const none = accepted(
    await correctPayment(actor, { ...fresh(actor), paymentId: right.paymentId, amount: '0', ...said }),
  )
  expect(none).toMatchObject({ state: 'unpaid', outstandingMinor: 4800 })
  const office = { role: 'office' as const, businessId: actor.businessId }
  const kept = await askAs(office, (client) =>
    client.query('select amount_minor from payment where invoice_id = $1 order by created_at', [invoice]),
  )
  expect(kept.rows.map((row) => row.amount_minor)).toEqual([4800, 4000, 0])
  await expect(
    askAs(office, (client) => client.query('update payment set amount_minor = 1 where invoice_id = $1', [invoice])),
  ).rejects.toThrow()
})

test('a credit note lowers what is owed; wholly credited is paid', async () => {
  const invoice = await issued()
  const [line] = (await invoiceOf(actor, invoice)).invoiceLines
  const half = [{ lineId: line?.id ?? '', quantity: '0.5' }]
  const note = accepted(
    await creditInvoice(actor, { ...fresh(actor), invoiceId: invoice, reason: 'Half an hour only.', lines: half }),
  )
  expect((await invoicePage(actor, invoice))?.standing).toMatchObject({ state: 'unpaid', outstandingMinor: 4800 }) // a draft lowers nothing
  accepted(await issue(actor, note.invoiceId))
  expect((await invoicePage(actor, invoice))?.standing).toMatchObject({ state: 'unpaid', outstandingMinor: 2400 })
  expect(accepted(await pay(invoice, '24'))).toMatchObject({ state: 'paid' })
})

describe('refused in words', () => {
  test('on a draft, on a credit note, to come, in too many decimals', async () => {
    const draft = await makeFreeDraft(actor, place.clientId)
    expect(await pay(draft, '1')).toMatchObject({ ok: false, reason: 'not-a-draft' })
    const invoice = await issued()
    expect(await pay(invoice, '1', { receivedOn: '2099-01-01' })).toMatchObject({ reason: 'invalid' })
    expect(await pay(invoice, '1.005')).toMatchObject({ reason: 'invalid' })
  })

  test('a technician, a client and another business', async () => {
    const invoice = await issued()
    const technician: Actor = { ...actor, roles: ['technician'] }
    const plain = { receivedOn: '2026-11-25', amount: '1', method: '', reference: '', overpaymentAccepted: false }
    expect(await recordPayment(technician, { ...fresh(actor), invoiceId: invoice, ...plain })).toMatchObject({
      reason: 'not-allowed',
    })
    const stranger = await makeSeller('Another Round')
    expect(await recordPayment(stranger, { ...fresh(stranger), invoiceId: invoice, ...plain })).toMatchObject({
      reason: 'not-found',
    })
    const accountant: Actor = { ...actor, roles: ['accountant'] }
    expect(await recordPayment(accountant, { ...fresh(actor), invoiceId: invoice, ...plain })).toMatchObject({
      ok: true,
    })
  })
})

test('the lists agree with the invoices: open, late and paid', async () => {
  const seller = await makeSeller('Fourth Round')
  const { clientId } = await makePlace(seller, 'Quay House')
  const on = async (day: string) => {
    const draft = await makeFreeDraft(seller, clientId)
    accepted(await issue(seller, draft, day))
    return draft
  }
  const late = await on('2025-01-10')
  const paid = await on('2025-02-10')
  const payment = { receivedOn: '2025-02-11', amount: '48', method: '', reference: '', overpaymentAccepted: false }
  accepted(await recordPayment(seller, { ...fresh(seller), invoiceId: paid, ...payment }))
  const show = async (filter: 'all' | 'late' | 'paid' | 'credit') => {
    const page = await moneyPage(seller, { filter, search: '', page: 1 })
    return page.invoices.map(({ id, state }) => [id, state])
  }
  expect(await show('all')).toEqual([
    [paid, 'paid'],
    [late, 'unpaid'],
  ])
  expect(await show('late')).toEqual([[late, 'unpaid']])
  expect(await show('paid')).toEqual([[paid, 'paid']])
  expect(await show('credit')).toEqual([])
  const { sums } = await moneyPage(seller, { filter: 'all', search: '0001', page: 1 })
  expect(sums).toMatchObject({ open: { count: 1, minor: 4800 }, late: { count: 1, minor: 4800 } })
})
