/**
 * Random histories of invoices, credit notes, payments, moves, money given back and corrections, through the real commands, against an
 * account kept apart (`own-account.ts`). What must hold is arithmetic: the balance is the papers less the money, on every day and every
 * screen, and each file adds up to its screen.
 */
import { parse } from 'csv-parse/sync'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { addDays } from '@/lib/office/frame/days'
import {
  correctPayment,
  creditInvoice,
  editDraft,
  issueInvoice,
  moveCredit,
  recordPayment,
  recordReceipt,
  startDraft,
} from '@/lib/office/money/commands'
import {
  accountantFile,
  accountPage,
  booksPage,
  debtorsFile,
  debtorsPage,
  moneyPage,
  paymentsFile,
  statementFile,
  taxFile,
  taxPage,
} from '@/lib/office/money/queries'
import { testDatabase } from '../../setup/database'
import { pinClock, unpinClock } from '../../setup/pinned-clock'
import { accepted } from '../clients/register'
import { fresh, invoiceOf, makePlace, makeSeller } from './books'
import { grossOf, type Line, OwnAccount } from './own-account'

const FIRST = '2026-01-05'
const ALL = { from: '2000-01-01', to: '2026-12-31' }
const STEPS = 45
/** The terms of a new business. */
const TERM_DAYS = 14

beforeAll(async () => {
  await testDatabase()
})
afterAll(unpinClock)

/** Whole numbers from a seed (a linear congruential generator; the constants are those of Numerical Recipes, from memory). */
function draws(seed: number): (below: number) => number {
  let state = seed
  return (below) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return Math.floor((state / 2 ** 32) * below)
  }
}

const typed = (minor: number) => (minor / 100).toFixed(2)
const minorOf = (text: string) => Math.round(Number(text) * 100)

class Walk {
  account = new OwnAccount()
  day = FIRST
  readonly draw: (below: number) => number

  constructor(
    readonly actor: Actor,
    readonly clients: string[],
    seed: number,
  ) {
    this.draw = draws(seed)
  }

  one<T>(items: readonly T[]): T | undefined {
    return items[this.draw(items.length)]
  }

  client(): string {
    return this.clients[this.draw(this.clients.length)] ?? ''
  }

  /** Today or up to twenty days back. */
  past(notBefore = FIRST): string {
    return [addDays(this.day, -this.draw(20)), notBefore].sort()[1] ?? notBefore
  }

  async step(): Promise<void> {
    this.day = addDays(this.day, this.draw(6))
    pinClock(new Date(`${this.day}T12:00:00Z`))
    const steps = [
      this.bill,
      this.bill,
      this.credit,
      this.receive,
      this.receive,
      this.pay,
      this.giveBack,
      this.move,
      this.correct,
    ]
    await this.one(steps)?.call(this)
  }

  async bill(): Promise<void> {
    const { actor } = this
    const client = this.client()
    const lines: (Line & { quantity: number; price: number })[] = Array.from({ length: 1 + this.draw(3) }, () => {
      const [quantity, price] = [1 + this.draw(3), 100 + this.draw(9900)]
      return { quantity, price, netMinor: quantity * price, ratePercent: this.one([20, 20, 5, 0]) ?? 0 }
    })
    const { invoiceId } = accepted(await startDraft(actor, { ...fresh(actor), clientId: client }))
    const written = lines.map(({ quantity, price, ratePercent }) => ({
      ...{ id: newId(), description: 'Work', quantity: String(quantity), unit: '', unitPrice: typed(price) },
      ...{ taxCategory: ratePercent === 0 ? ('Z' as const) : ('S' as const), taxRate: String(ratePercent) },
      ...{ taxExemptionReason: '', serviceStart: '2026-01-01', serviceEnd: addDays(this.day, -this.draw(40)) },
    }))
    const dated = written.map((line) => ({ ...line, serviceStart: line.serviceEnd }))
    accepted(await editDraft(actor, { ...fresh(actor), invoiceId, purchaseOrder: '', note: '', lines: dated }))
    const day = this.past()
    await this.issue(invoiceId, day, grossOf(lines))
    this.account.invoices.push({ id: invoiceId, client, day, due: addDays(day, TERM_DAYS), lines })
  }

  async issue(invoiceId: string, issuedOn: string, expectedGrossMinor: number): Promise<void> {
    const input = { ...fresh(this.actor), invoiceId, issuedOn, expectedGrossMinor, earlierDayAccepted: true }
    accepted(await issueInvoice(this.actor, input))
  }

  /** One line of an invoice, once and whole. */
  async credit(): Promise<void> {
    const invoice = this.one(
      this.account.invoices.filter(({ id }) => !this.account.credits.some((one) => one.invoice === id)),
    )
    if (!invoice) return
    const stored = (await invoiceOf(this.actor, invoice.id)).invoiceLines
    const place = this.draw(stored.length)
    const [line, own] = [stored[place], invoice.lines[place]]
    if (!line || !own) return
    const lines = [{ lineId: line.id, quantity: line.quantity.toFixed(), effect: 'waive' as const }]
    const input = { ...fresh(this.actor), invoiceId: invoice.id, reason: 'Not agreed.', lines }
    const note = accepted(await creditInvoice(this.actor, input))
    const day = this.past(invoice.day)
    await this.issue(note.invoiceId, day, grossOf([own]))
    this.account.credits.push({ ...invoice, id: note.invoiceId, day, lines: [own], invoice: invoice.id })
  }

  parts(client: string): { invoiceId: string; minor: number }[] {
    return this.account.invoices
      .filter((one) => one.client === client && this.account.owed(one) > 0 && this.draw(2) === 0)
      .map((one) => ({ invoiceId: one.id, minor: 1 + this.draw(this.account.owed(one)) }))
  }

  how(receivedOn: string) {
    return { receivedOn, method: 'bank transfer', reference: '', overpaymentAccepted: true }
  }

  keep(id: string, client: string, day: string, minor: number, parts: { invoiceId: string; minor: number }[]): void {
    this.account.payments.push({ id, client, day, minor })
    for (const part of parts)
      this.account.settlements.push({ invoice: part.invoiceId, day, minor: part.minor, payment: id })
  }

  async receive(): Promise<void> {
    const [client, day] = [this.client(), this.past()]
    const parts = this.parts(client)
    const minor = parts.reduce((sum, part) => sum + part.minor, 0) + this.draw(3) * 500
    if (minor === 0) return
    const sent = parts.map((part) => ({ invoiceId: part.invoiceId, amount: typed(part.minor) }))
    const input = { ...fresh(this.actor), clientId: client, amount: typed(minor), parts: sent, ...this.how(day) }
    const { paymentId } = accepted(await recordReceipt(this.actor, input))
    this.keep(paymentId, client, day, minor, parts)
  }

  async pay(): Promise<void> {
    const invoice = this.one(this.account.invoices)
    if (!invoice) return
    const [day, minor, owed] = [this.past(), 1 + this.draw(20_000), Math.max(0, this.account.owed(invoice))]
    const input = { ...fresh(this.actor), invoiceId: invoice.id, amount: typed(minor), ...this.how(day) }
    const { paymentId } = accepted(await recordPayment(this.actor, input))
    const settles = Math.min(minor, owed)
    this.keep(paymentId, invoice.client, day, minor, settles === 0 ? [] : [{ invoiceId: invoice.id, minor: settles }])
  }

  async giveBack(): Promise<void> {
    const client = this.client()
    const unused = this.account.unused(client)
    const tooMuch = {
      ...fresh(this.actor),
      clientId: client,
      amount: typed(-unused - 1),
      parts: [],
      ...this.how(this.day),
    }
    expect(await recordReceipt(this.actor, tooMuch)).toMatchObject({ ok: false, reason: 'too-much' })
    const paid = this.one(this.account.invoices.filter(({ id }) => this.account.paid(id) > 0))
    if (paid) {
      const minor = 1 + this.draw(this.account.paid(paid.id))
      const input = { ...fresh(this.actor), invoiceId: paid.id, amount: typed(-minor), ...this.how(this.day) }
      const { paymentId } = accepted(await recordPayment(this.actor, input))
      this.keep(paymentId, paid.client, this.day, -minor, [{ invoiceId: paid.id, minor: -minor }])
    }
    if (this.account.unused(client) <= 0) return
    const minor = 1 + this.draw(this.account.unused(client))
    const input = { ...fresh(this.actor), clientId: client, amount: typed(-minor), parts: [], ...this.how(this.day) }
    this.keep(accepted(await recordReceipt(this.actor, input)).paymentId, client, this.day, -minor, [])
  }

  async move(): Promise<void> {
    const client = this.client()
    const own = this.account.invoices.filter((one) => one.client === client)
    const to = this.one(own.filter((one) => this.account.owed(one) > 0))
    const over = this.one(own.filter((one) => this.account.owed(one) < 0))
    const there = over ? -this.account.owed(over) : this.account.unused(client)
    const most = Math.min(there, to ? this.account.owed(to) : there)
    if (most <= 0 || (!over && !to)) return
    const minor = 1 + this.draw(most)
    const input = { clientId: client, fromInvoiceId: over?.id ?? '', toInvoiceId: to?.id ?? '', amount: typed(minor) }
    accepted(await moveCredit(this.actor, { ...fresh(this.actor), ...input }))
    const moved = { day: this.day, payment: null }
    if (over) this.account.settlements.push({ ...moved, invoice: over.id, minor: -minor })
    if (to) this.account.settlements.push({ ...moved, invoice: to.id, minor })
  }

  /** Another amount with what it settles, or nothing at all. It is refused where what came in is used; then nothing changes. */
  async correct(): Promise<void> {
    const wrong = this.one(this.account.payments.filter(({ minor }) => minor > 0))
    if (!wrong) return
    const parts = this.account.settlements
      .filter(({ payment }) => payment === wrong.id)
      .map(({ invoice, minor }) => ({ invoiceId: invoice, minor: 1 + this.draw(minor) }))
    const isNothing = parts.length === 0 || this.draw(3) === 0
    const minor = isNothing ? 0 : parts.reduce((sum, part) => sum + part.minor, 0) + this.draw(2) * 700
    const sent = isNothing ? [] : parts.map((part) => ({ invoiceId: part.invoiceId, amount: typed(part.minor) }))
    const how = { ...this.how(''), receivedOn: this.draw(2) === 0 ? undefined : this.past() }
    const input = { ...fresh(this.actor), paymentId: wrong.id, amount: typed(minor), parts: sent, ...how }
    const result = await correctPayment(this.actor, input)
    if (!result.ok) {
      expect(result.reason).toBe('too-much')
      return
    }
    this.account.forget(wrong.id)
    if (minor > 0) this.keep(result.value.paymentId, wrong.client, how.receivedOn ?? wrong.day, minor, parts)
  }

  /** Everything owed is paid and everything over goes back, so that money has settled every paper. */
  async settleAll(): Promise<void> {
    for (const invoice of this.account.invoices) {
      const owed = this.account.owed(invoice)
      if (owed === 0) continue
      const input = { ...fresh(this.actor), invoiceId: invoice.id, amount: typed(owed), ...this.how(this.day) }
      const { paymentId } = accepted(await recordPayment(this.actor, input))
      this.keep(paymentId, invoice.client, this.day, owed, [{ invoiceId: invoice.id, minor: owed }])
    }
  }
}

async function rowsOf(file: AsyncGenerator<string>): Promise<Record<string, string>[]> {
  let text = ''
  for await (const piece of file) text += piece
  return parse(text, { bom: true, columns: true, record_delimiter: '\r\n' })
}
const sumOf = (rows: readonly Record<string, string>[], column: string) =>
  rows.reduce((sum, row) => sum + minorOf(row[column] ?? ''), 0)

async function checkBalances({ actor, account, clients }: Walk, asAt: string): Promise<void> {
  const { balances, clients: listed } = await debtorsPage(actor, { asAt, page: 1 })
  const [all] = balances
  expect(all.debtorsMinor).toBe(account.balance(asAt))
  expect(all.agedMinor).toEqual(account.aged(asAt))
  expect(all.agedMinor.reduce((sum, minor) => sum + minor, 0)).toBe(all.outstandingMinor)
  expect(all.outstandingMinor - all.inHandMinor).toBe(all.debtorsMinor)
  expect(listed.reduce((sum, { debtorsMinor }) => sum + debtorsMinor, 0)).toBe(all.debtorsMinor)
  const file = await rowsOf(debtorsFile(actor, asAt))
  for (const [column, minor] of [
    ['not yet due', all.agedMinor[0]],
    ['1 to 30 days past due', all.agedMinor[1]],
    ['over 90 days past due', all.agedMinor[4]],
    ['outstanding', all.outstandingMinor],
    ['credit in hand', all.inHandMinor],
    ['balance', all.debtorsMinor],
  ] as const)
    expect([column, sumOf(file, column)]).toEqual([column, minor])
  for (const client of clients) {
    const period = { from: '2026-03-01', to: asAt < '2026-03-01' ? '2026-03-01' : asAt }
    const [own] = (await accountPage(actor, client, period))?.currencies ?? []
    expect(own?.closingMinor).toBe(account.balance(period.to, client))
    expect(own?.openingMinor).toBe(account.balance('2026-02-28', client))
    expect(own?.entries.at(-1)?.balanceMinor ?? own?.openingMinor).toBe(own?.closingMinor)
    const rows = await rowsOf(statementFile(actor, client, period))
    expect(sumOf(rows, 'amount')).toBe(own?.closingMinor)
  }
}

/** Periods that follow one another add up to the whole, and the documents behind a sum to the sum: a period is read by itself, and nothing twice. */
async function checkPeriods(actor: Actor, basis: 'issue' | 'service' | 'cash'): Promise<void> {
  const sumsOf = async (period: { from: string; to: string }) => (await booksPage(actor, { ...period, basis })).taxSums
  const pieces = ['2026-02-14', '2026-03-20', '2026-05-02'].reduce(
    (cut, day) => [
      ...cut.slice(0, -1),
      { from: cut.at(-1)?.from ?? ALL.from, to: addDays(day, -1) },
      { from: day, to: ALL.to },
    ],
    [ALL],
  )
  const added = new Map<string, { net: number; tax: number }>()
  for (const piece of pieces)
    for (const { ratePercent, netMinor, taxMinor } of await sumsOf(piece)) {
      const { net, tax } = added.get(ratePercent) ?? { net: 0, tax: 0 }
      added.set(ratePercent, { net: net + netMinor, tax: tax + taxMinor })
    }
  const whole = await sumsOf(ALL)
  expect(whole.length).toBeGreaterThan(0)
  for (const { currency, category, ratePercent, name, taxableMinor, netMinor, taxMinor } of whole) {
    expect([basis, ratePercent, added.get(ratePercent)]).toEqual([basis, ratePercent, { net: netMinor, tax: taxMinor }])
    const { documents, pages } = await taxPage(actor, { ...ALL, basis, currency, category, ratePercent, name, page: 1 })
    expect(documents.length).toBe(Math.min(pages.total, pages.perPage))
    if (pages.total > pages.perPage) continue
    expect(documents.reduce((sum, one) => sum + one.taxableMinor, 0)).toBe(taxableMinor)
    expect(documents.reduce((sum, one) => sum + one.taxMinor, 0)).toBe(taxMinor)
  }
}

async function checkPapers({ actor, account }: Walk): Promise<void> {
  const byRate = Object.fromEntries(Object.entries(account.taxByRate()).filter(([, { net }]) => net !== 0))
  const ofScreen = async (basis: 'issue' | 'service' | 'cash') => {
    const { taxSums } = await booksPage(actor, { ...ALL, basis })
    return Object.fromEntries(taxSums.map((sum) => [sum.ratePercent, { net: sum.taxableMinor, tax: sum.taxMinor }]))
  }
  const issued = await ofScreen('issue')
  for (const [rate, sums] of Object.entries(byRate)) expect([rate, issued[rate]]).toEqual([rate, sums])
  expect(await ofScreen('service')).toEqual(issued)
  for (const basis of ['issue', 'service', 'cash'] as const) await checkPeriods(actor, basis)
  const taxRows = await rowsOf(taxFile(actor, ALL, 'service'))
  const [net, tax] = ['net', 'tax'].map((column) => sumOf(taxRows, column))
  const lines = await rowsOf(accountantFile(actor, ALL))
  expect([sumOf(lines, 'net'), sumOf(lines, 'tax')]).toEqual([net, tax])
  const papers = [
    ...account.invoices.map((one) => grossOf(one.lines)),
    ...account.credits.map((one) => -grossOf(one.lines)),
  ]
  expect(sumOf(lines, 'gross')).toBe(papers.reduce((sum, minor) => sum + minor, 0))
  const received = account.payments.reduce((sum, { minor }) => sum + minor, 0)
  const { paymentSums, paymentPages } = await booksPage(actor, ALL)
  expect(paymentSums.reduce((sum, { minor }) => sum + minor, 0)).toBe(received)
  expect(paymentPages.total).toBe(account.payments.length)
  expect(sumOf(await rowsOf(paymentsFile(actor, ALL)), 'amount')).toBe(received)
}

describe('random histories', () => {
  test.each([1, 2, 3, 4, 5, 6])(
    'number %i: balances, ages, tax and files against an account kept apart',
    async (seed) => {
      pinClock(new Date(`${FIRST}T12:00:00Z`))
      const actor = await makeSeller(`Round ${seed}`)
      const clients = [
        (await makePlace(actor, 'Quay House')).clientId,
        (await makePlace(actor, 'Brindle Hotel')).clientId,
      ]
      const walk = new Walk(actor, clients, seed)
      for (let step = 0; step < STEPS; step++) await walk.step()
      expect(walk.account.payments.length).toBeGreaterThan(5)
      const [money] = (await moneyPage(actor, { filter: 'all', search: '', page: 1 })).sums.balances
      expect(money.debtorsMinor).toBe(walk.account.balance(walk.day))
      for (const asAt of [walk.day, addDays(walk.day, -30), addDays(FIRST, 40 + walk.draw(60)), ALL.to])
        await checkBalances(walk, asAt)
      await checkPapers(walk)
      // On the cash basis tax is reported as money comes; once all is settled it is that of the papers, at every rate.
      await walk.settleAll()
      const basis = async (by: 'issue' | 'cash') => (await booksPage(actor, { ...ALL, basis: by })).taxSums
      expect(await basis('cash')).toEqual(await basis('issue'))
    },
    120_000,
  )
})
