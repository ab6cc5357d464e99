import { beforeAll, describe, expect, test } from 'vitest'
import type { Actor } from '@/lib/office/frame/actor'
import { correctPayment, creditInvoice, moveCredit, recordPayment, recordReceipt } from '@/lib/office/money/commands'
import { accountPage, debtorsPage, invoicePage, moneyPage } from '@/lib/office/money/queries'
import type { RecordPayment } from '@/lib/office/money/schema'
import { askAs, testDatabase } from '../../setup/database'
import { pinClock } from '../../setup/pinned-clock'
import { accepted } from '../clients/register'
import { fresh, invoiceOf, issue, makeFreeDraft, makePlace, makeSeller, type Place } from './books'

/** Nothing here is dated later. */
const TODAY = new Date('2026-12-15T10:00:00Z')

let actor: Actor
let place: Place

beforeAll(async () => {
  await testDatabase()
  pinClock(TODAY)
  actor = await makeSeller('Tidepool Care')
  place = await makePlace(actor, 'Brindle Hotel')
})

/** An issued invoice of 48.00. */
async function issued(): Promise<string> {
  const draft = await makeFreeDraft(actor, place.clientId)
  accepted(await issue(actor, draft))
  return draft
}

/** One payment of a client over these invoices. */
function receive(who: Actor, clientId: string, amount: string, parts: Record<string, string>, keepRest = false) {
  const plain = { receivedOn: '2026-11-25', method: '', reference: '', overpaymentAccepted: keepRest }
  const typed = Object.entries(parts).map(([invoiceId, part]) => ({ invoiceId, amount: part }))
  return recordReceipt(who, { ...fresh(who), clientId, amount, parts: typed, ...plain })
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
  expect(taken).toMatchObject({ state: 'paid', outstandingMinor: 0 })
  const [balance] = (await accountPage(actor, place.clientId, {}))?.currencies ?? []
  expect(balance?.balance.inHandMinor).toBe(200)
  expect(await receive(actor, place.clientId, '-3', {})).toMatchObject({
    reason: 'too-much',
    words: expect.stringContaining('has 2.00 GBP in hand'),
  })
  accepted(await receive(actor, place.clientId, '-2', {}))
})

test('money back that only an overpaid invoice has: the refusal names the invoice, where it can be recorded', async () => {
  const seller = await makeSeller('Refund Care')
  const { clientId } = await makePlace(seller, 'Mill House')
  const invoiceId = await makeFreeDraft(seller, clientId)
  const { number } = accepted(await issue(seller, invoiceId))
  const plain = { receivedOn: '2026-11-25', method: '', reference: '', overpaymentAccepted: false }
  accepted(await recordPayment(seller, { ...fresh(seller), invoiceId, amount: '48', ...plain }))
  const [line] = (await invoiceOf(seller, invoiceId)).invoiceLines
  const lines = [{ lineId: line?.id ?? '', quantity: '1', effect: 'waive' as const }]
  const credit = { ...fresh(seller), invoiceId, reason: 'Never done', lines }
  accepted(await issue(seller, accepted(await creditInvoice(seller, credit)).invoiceId))
  expect(await receive(seller, clientId, '-48', {})).toMatchObject({
    reason: 'too-much',
    words: expect.stringContaining(`Refund it on ${number} (overpaid by 48.00 GBP).`),
  })
  // The invoice offers it: what its page fills in is taken as it stands.
  const offered = (await invoicePage(seller, invoiceId))?.outstandingText ?? ''
  expect(offered).toBe('-48.00')
  accepted(await recordPayment(seller, { ...fresh(seller), invoiceId, amount: offered, ...plain }))
  expect((await invoicePage(seller, invoiceId))?.outstandingText).toBe('')
})

test('a statement says which is a refund, and keeps the order of a day’s entries', async () => {
  const seller = await makeSeller('Statement Care')
  const { clientId } = await makePlace(seller, 'Weir House')
  for (const [amount, method] of [
    ['20', 'Transfer'],
    ['-5', ''],
    ['8', 'Cash'], // by the alphabet it would stand first
  ] as const)
    accepted(
      await recordReceipt(seller, {
        ...{ ...fresh(seller), clientId, amount, method, parts: [] },
        ...{ receivedOn: '2026-11-25', reference: '', overpaymentAccepted: true },
      }),
    )
  const [account] = (await accountPage(seller, clientId, { from: '2026-11-01', to: '2026-11-30' }))?.currencies ?? []
  expect(account?.entries.map(({ kind, what, balanceMinor }) => [kind, what, balanceMinor])).toEqual([
    ['payment', 'Transfer', -2000],
    ['refund', '', -1500],
    ['payment', 'Cash', -2300],
  ])
})

test('a day of more than a year ago is asked about, and a correction that keeps its day is not', async () => {
  const invoice = await issued()
  const asked = await pay(invoice, '20', { receivedOn: '1990-11-25' })
  expect(asked).toMatchObject({ reason: 'long-ago', words: expect.stringContaining('25 November 1990') })
  const { paymentId } = accepted(await pay(invoice, '20', { receivedOn: '1990-11-25', longAgoAccepted: true }))
  const said = { ...fresh(actor), paymentId, method: '', reference: '', overpaymentAccepted: false }
  const { paymentId: second } = accepted(await correctPayment(actor, { ...said, amount: '21' }))
  const again = { ...said, ...fresh(actor), paymentId: second, amount: '21' }
  expect(await correctPayment(actor, { ...again, receivedOn: '1991-11-25' })).toMatchObject({ reason: 'long-ago' })
  accepted(await correctPayment(actor, { ...again, ...fresh(actor), receivedOn: '2026-11-25' }))
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
    client.query(
      'select amount_minor from payment where id = any($1) or corrects_id = any($1) order by created_at, amount_minor desc',
      [[paymentId, right.paymentId]],
    ),
  )
  expect(kept.rows.map((row) => row.amount_minor)).toEqual([4800, 4000, 0])
  await expect(
    askAs(office, (client) => client.query('update allocation set amount_minor = 1 where invoice_id = $1', [invoice])),
  ).rejects.toThrow()
})

test('a credit note lowers what is owed', async () => {
  const invoice = await issued()
  const [line] = (await invoiceOf(actor, invoice)).invoiceLines
  const half = [{ lineId: line?.id ?? '', quantity: '0.5', effect: 'waive' as const }]
  const note = accepted(
    await creditInvoice(actor, { ...fresh(actor), invoiceId: invoice, reason: 'Half an hour only.', lines: half }),
  )
  expect((await invoicePage(actor, invoice))?.standing).toMatchObject({ state: 'unpaid', outstandingMinor: 4800 }) // a draft lowers nothing
  accepted(await issue(actor, note.invoiceId))
  expect((await invoicePage(actor, invoice))?.standing).toMatchObject({ state: 'unpaid', outstandingMinor: 2400 })
  expect(accepted(await pay(invoice, '24'))).toMatchObject({ state: 'paid' })
})

describe('written down twice', () => {
  const typed = { receivedOn: '2026-12-01', method: 'bank transfer', overpaymentAccepted: false }

  test('the same receipt by two people at once is taken once; the other one is asked', async () => {
    const invoice = await issued()
    const same = { ...typed, invoiceId: invoice, amount: '20', reference: 'Statement 12' }
    const both = await Promise.all([1, 2].map(() => recordPayment(actor, { ...fresh(actor), ...same })))
    expect(both.filter(({ ok }) => ok)).toHaveLength(1)
    expect(both.find(({ ok }) => !ok)).toMatchObject({
      reason: 'twice',
      words: expect.stringContaining(
        '20.00 GBP on 1 December 2026 with the reference “Statement 12” is recorded already',
      ),
    })
    expect((await invoicePage(actor, invoice))?.standing).toMatchObject({ outstandingMinor: 2800 })
    // From the client's account it is the same receipt, however its reference is written.
    const again = { ...fresh(actor), ...typed, clientId: place.clientId, amount: '20', reference: 'statement 12' }
    const parts = [{ invoiceId: invoice, amount: '20' }]
    expect(await recordReceipt(actor, { ...again, parts })).toMatchObject({ reason: 'twice' })
    accepted(await recordReceipt(actor, { ...again, ...fresh(actor), parts, secondAccepted: true }))
  })

  test('another reference, another day, or one that was corrected away is no second receipt', async () => {
    const invoice = await issued()
    const same = { ...typed, invoiceId: invoice, amount: '7', reference: 'A' }
    const { paymentId } = accepted(await recordPayment(actor, { ...fresh(actor), ...same }))
    accepted(await recordPayment(actor, { ...fresh(actor), ...same, reference: 'B' }))
    accepted(await recordPayment(actor, { ...fresh(actor), ...same, receivedOn: '2026-12-02' }))
    accepted(await correctPayment(actor, { ...fresh(actor), ...typed, paymentId, amount: '0', reference: 'A' }))
    accepted(await recordPayment(actor, { ...fresh(actor), ...same }))
  })
})

describe('what a correction settles', () => {
  const said = { receivedOn: '2026-12-03', method: '', reference: '', overpaymentAccepted: false }
  /** Two invoices of 48.00 and one payment of 60.00 over them. */
  async function paid() {
    const [first, second] = [await issued(), await issued()]
    const parts = [
      { invoiceId: first, amount: '48' },
      { invoiceId: second, amount: '12' },
    ]
    const receipt = { ...fresh(actor), ...said, clientId: place.clientId, amount: '60', parts, secondAccepted: true }
    return { first, second, parts, ...accepted(await recordReceipt(actor, receipt)) }
  }
  const owed = async (invoice: string) => (await invoicePage(actor, invoice))?.standing.outstandingMinor

  test('cleared of its invoices it is in hand, once somebody has said yes', async () => {
    const { first, second, paymentId } = await paid()
    const cleared = { ...said, paymentId, amount: '60', parts: [] }
    expect(await correctPayment(actor, { ...fresh(actor), ...cleared })).toMatchObject({ reason: 'overpaid' })
    accepted(await correctPayment(actor, { ...fresh(actor), ...cleared, overpaymentAccepted: true }))
    expect([await owed(first), await owed(second)]).toEqual([4800, 4800])
  })

  test('a nought too many is asked about', async () => {
    const { parts, paymentId } = await paid()
    const more = { ...said, paymentId, amount: '600', parts }
    expect(await correctPayment(actor, { ...fresh(actor), ...more })).toMatchObject({
      reason: 'overpaid',
      words: expect.stringContaining('540.00 GBP of it settles no invoice'),
    })
  })

  test('0 says that nothing came, whatever still stands beside the invoices', async () => {
    const { first, parts, paymentId } = await paid()
    accepted(await correctPayment(actor, { ...fresh(actor), ...said, paymentId, amount: '0', parts }))
    expect(await owed(first)).toBe(4800)
  })
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
  const payment = {
    receivedOn: '2025-02-11',
    longAgoAccepted: true,
    amount: '48',
    method: '',
    reference: '',
    overpaymentAccepted: false,
  }
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

describe('one ledger', () => {
  let seller: Actor
  let clientId: string
  const bill = async (day: string, amount = '40') => {
    const draft = await makeFreeDraft(seller, clientId, { unitPrice: amount })
    accepted(await issue(seller, draft, day))
    return draft
  }
  const credit = async (invoiceId: string, quantity: string, day: string) => {
    const [line] = (await invoiceOf(seller, invoiceId)).invoiceLines
    const lines = [{ lineId: line?.id ?? '', quantity, effect: 'waive' as const }]
    const note = accepted(await creditInvoice(seller, { ...fresh(seller), invoiceId, reason: 'Not agreed.', lines }))
    accepted(await issue(seller, note.invoiceId, day))
  }
  const move = (from: string, to: string, amount: string) =>
    moveCredit(seller, { ...fresh(seller), clientId, fromInvoiceId: from, toInvoiceId: to, amount })
  beforeAll(async () => {
    seller = await makeSeller('Fifth Round')
    clientId = (await makePlace(seller, 'Quay House')).clientId
  })

  test('one payment over several invoices; what settles none is in hand, and moves to the next', async () => {
    const [first, second] = [await bill('2026-11-02'), await bill('2026-11-03')]
    expect(await receive(seller, clientId, '100', { [first]: '48', [second]: '48' })).toMatchObject({
      reason: 'overpaid',
      words: expect.stringContaining('4.00 GBP of it settles no invoice'),
    })
    expect(await receive(seller, clientId, '90', { [first]: '48', [second]: '48' })).toMatchObject({
      reason: 'too-much',
    })
    expect(await receive(seller, clientId, '100', { [first]: '48.01' }, true)).toMatchObject({ reason: 'too-much' })
    accepted(await receive(seller, clientId, '100', { [first]: '48', [second]: '40' }, true))
    expect((await invoicePage(seller, second))?.standing).toMatchObject({ state: 'part_paid', outstandingMinor: 800 })
    expect(await move('', second, '12.01')).toMatchObject({ reason: 'too-much' })
    accepted(await move('', second, '8'))
    expect((await invoicePage(seller, second))?.standing).toMatchObject({ state: 'paid' })
    expect((await accountPage(seller, clientId, {}))?.unallocatedMinor).toBe(400)
    // Whoever opens an invoice that is owed reads that there is credit for it.
    expect((await invoicePage(seller, await bill('2026-11-04')))?.inHandMinor).toBe(400)
  })

  test('an overpayment by a later credit note moves to another invoice; nobody fakes a refund', async () => {
    const [old, next] = [await bill('2026-11-10'), await bill('2026-11-11')]
    accepted(await receive(seller, clientId, '48', { [old]: '48' }))
    await credit(old, '0.5', '2026-11-12')
    accepted(await move(old, next, '24'))
    expect((await invoicePage(seller, old))?.standing).toMatchObject({ state: 'paid', outstandingMinor: 0 })
    expect((await invoicePage(seller, next))?.standing).toMatchObject({ state: 'part_paid', outstandingMinor: 2400 })
  })

  test('wholly credited and never paid is credited, not paid; nothing of it is owed', async () => {
    const invoice = await bill('2026-11-13')
    await credit(invoice, '1', '2026-11-13')
    expect((await invoicePage(seller, invoice))?.standing).toMatchObject({ state: 'credited', outstandingMinor: 0 })
    const listed = await moneyPage(seller, { filter: 'credited', search: '', page: 1 })
    expect(listed.invoices.map(({ id }) => id)).toEqual([invoice])
  })

  test('no more goes back than came in; a payment that is used elsewhere is not corrected away', async () => {
    const invoice = await bill('2026-11-14')
    const minus = { receivedOn: '2026-11-25', method: '', reference: '', overpaymentAccepted: false }
    expect(await recordPayment(seller, { ...fresh(seller), invoiceId: invoice, amount: '-1', ...minus })).toMatchObject(
      { reason: 'too-much', words: expect.stringContaining('No more can go back than came in') },
    )
    const { paymentId } = accepted(await receive(seller, clientId, '50', {}, true))
    accepted(await move('', invoice, '48'))
    const nothing = { ...minus, receivedOn: undefined, amount: '0', parts: [] }
    expect(await correctPayment(seller, { ...fresh(seller), paymentId, ...nothing })).toMatchObject({
      reason: 'too-much',
      words: expect.stringContaining('is used for other invoices'),
    })
    accepted(await move(invoice, '', '48'))
    accepted(await correctPayment(seller, { ...fresh(seller), paymentId, ...nothing }))
  })

  test('the same balance on Money, among debtors, on the account, and as at an earlier day', async () => {
    const [money] = (await moneyPage(seller, { filter: 'all', search: '', page: 1 })).sums.balances
    const debtors = await debtorsPage(seller, { page: 1 })
    const account = await accountPage(seller, clientId, {})
    expect(debtors.balances[0]).toEqual(money)
    expect(debtors.clients).toMatchObject([{ ...money, clientId }])
    expect(account?.currencies[0]?.balance).toEqual(money)
    expect(account?.currencies[0]?.closingMinor).toBe(money.debtorsMinor)
    // By hand: on 2 November 48.00 was billed and nothing paid.
    const [then] = (await debtorsPage(seller, { asAt: '2026-11-02', page: 1 })).balances
    expect(then).toMatchObject({ outstandingMinor: 4800, inHandMinor: 0, debtorsMinor: 4800 })
    // 16 November is the day to pay: not yet due on the 15th, up to 30 days from the 16th on.
    const aged = async (asAt: string) => (await debtorsPage(seller, { asAt, page: 1 })).balances[0].agedMinor
    expect((await aged('2026-11-02'))[0]).toBe(4800)
  })
})
