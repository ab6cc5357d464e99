import 'server-only'
import { newId } from '@/lib/new-id'
import { type CommandContext, defineCommand } from '../frame/command'
import { asDay, asDbDate, dayIn } from '../frame/days'
import { done, invalid, refused } from '../frame/result'
import { amountTextToMinor } from './currency'
import { readInvoiceStandings, readUnallocated } from './ledger'
import { longAgo } from './long-ago'
import { type MoneyResult, noSuchInvoice, PAYMENTS } from './money-command'
import { lockPayer, type Payer, payerOfInvoice } from './payer-lock'
import { type PaymentStanding, paymentState } from './payment-state'
import { likeOneRecorded } from './recorded-already'
import { refundElsewhere } from './refund-elsewhere'
import { correctPaymentSchema, moveCreditSchema, recordPaymentSchema, recordReceiptSchema } from './schema'

type Recorded = MoneyResult<{ paymentId: string; state: PaymentStanding['state']; outstandingMinor: number }>
type Part = { invoiceId: string; amountMinor: number }
type Receipt = {
  amountMinor: number
  receivedOn: string
  method: string
  reference: string
  currency: string
  parts: Part[]
}

/**
 * Writes down that money came in for one invoice (or, with a minus, went back). What is more than is owed is asked about first and then
 * stays the client's credit in hand; no more goes back than came in. The payment's id is the command's.
 */
export const recordPayment = defineCommand(
  { ...PAYMENTS, kind: 'payment.record', schema: recordPaymentSchema },
  async (context, input): Recorded => {
    const payer = await payerOfInvoice(context, input.invoiceId)
    if (!payer) return noSuchInvoice()
    const invoice = await issuedInvoice(context, input.invoiceId)
    if ('ok' in invoice) return invoice
    const { currency } = invoice
    const amountMinor = amountIn(input.amount, currency)
    if (amountMinor === null) return invalid({ amount: [amountWords(currency)] })
    const second = await likeOneRecorded(context, payer, { ...input, amountMinor, currency })
    if (second) return second
    const old = longAgo(context, payer, input)
    if (old) return old
    const owed = Math.max(0, invoice.outstandingMinor)
    if (amountMinor > owed && !input.overpaymentAccepted)
      return refused(
        'overpaid',
        `That is ${payer.say(amountMinor - owed, currency)} more than is owed (${payer.say(owed, currency)}). Say yes if so much came in: the rest stays the client’s credit.`,
      )
    const settles = amountMinor < 0 ? amountMinor : Math.min(amountMinor, owed)
    const parts = settles === 0 ? [] : [{ invoiceId: invoice.id, amountMinor: settles }]
    return writeReceipt(context, payer, { ...input, amountMinor, currency, parts }, null)
  },
)

/**
 * One payment over several invoices of a client, with how much settles which; the rest is credit in hand. With a minus and no invoice: money
 * given back out of the credit in hand, no more than there is.
 */
export const recordReceipt = defineCommand(
  { ...PAYMENTS, kind: 'payment.receive', schema: recordReceiptSchema },
  async (context, input): Recorded => {
    const payer = await lockPayer(context, input.clientId)
    if (!payer) return refused('not-found', 'This client is not in the register any more. Reload the page.')
    const read = await readParts(context, payer, input.parts)
    if ('ok' in read) return read
    const { currency, parts } = read
    const amountMinor = amountIn(input.amount, currency)
    if (amountMinor === null) return invalid({ amount: [amountWords(currency)] })
    const second = await likeOneRecorded(context, payer, { ...input, amountMinor, currency })
    if (second) return second
    const old = longAgo(context, payer, input)
    if (old) return old
    const restMinor = amountMinor - sumOf(parts)
    if (amountMinor > 0 && restMinor < 0)
      return refused(
        'too-much',
        `The invoices take ${payer.say(-restMinor, currency)} more than came in. Lower one of them.`,
      )
    if (restMinor > 0 && !input.overpaymentAccepted) return settlesNone(payer, restMinor, currency)
    return writeReceipt(context, payer, { ...input, amountMinor, currency, parts }, null)
  },
)

/**
 * Puts right a payment that was written down wrongly: a new one takes its place with all it settles; the old one stays to be seen. It keeps
 * its day unless another is given. Refused where what came in is used elsewhere already.
 */
export const correctPayment = defineCommand(
  { ...PAYMENTS, kind: 'payment.correct', schema: correctPaymentSchema },
  async (context, input): Recorded => {
    const { tx, actor } = context
    const found = await tx.payment.findFirst({
      where: { businessId: actor.businessId, id: input.paymentId },
      include: { correctedBy: { select: { id: true } }, allocations: { orderBy: { id: 'asc' } } },
    })
    const payer = found && (await lockPayer(context, found.clientId))
    if (!found || !payer) return refused('not-found', 'This payment is not in the books any more. Reload the page.')
    if (found.correctedBy)
      return refused('already-so', 'This payment has been corrected already. Correct the newer one.')
    const { currency } = found
    const amountMinor = amountIn(input.amount, currency)
    if (amountMinor === null) return invalid({ amount: [amountWords(currency)] })
    const receivedOn = input.receivedOn ?? asDay(found.receivedOn)
    const old = receivedOn === asDay(found.receivedOn) ? null : longAgo(context, payer, { ...input, receivedOn })
    if (old) return old
    // What never came settles nothing, whatever still stands beside the invoices.
    const given = amountMinor === 0 || !input.parts ? null : await readParts(context, payer, input.parts, found.id)
    if (given && 'ok' in given) return given
    const parts = given ? given.parts : await partsLeft(context, found.allocations, amountMinor)
    if (amountMinor > 0 && sumOf(parts) > amountMinor)
      return refused('too-much', 'The invoices take more than came in. Say how much of it settles which.')
    const restMinor = amountMinor - sumOf(parts)
    const restBefore = Math.max(0, found.amountMinor - sumOf(found.allocations))
    if (amountMinor > 0 && restMinor > restBefore && !input.overpaymentAccepted)
      return settlesNone(payer, restMinor, currency)
    return writeReceipt(context, payer, { ...input, receivedOn, amountMinor, currency, parts }, found.id)
  },
)

/** Moves what a client has in hand, or what was settled at one invoice, to another, or back in hand. No money moves. */
export const moveCredit = defineCommand(
  { ...PAYMENTS, kind: 'credit.move', schema: moveCreditSchema },
  async (context, input): MoneyResult<{ movedMinor: number }> => {
    const { tx, actor, commandId, madeAt, audit } = context
    const { businessId } = actor
    const payer = await lockPayer(context, input.clientId)
    if (!payer) return refused('not-found', 'This client is not in the register any more. Reload the page.')
    if (input.fromInvoiceId === input.toInvoiceId) return invalid({ toInvoiceId: ['Choose where it goes.'] })
    const ids = [input.fromInvoiceId, input.toInvoiceId].filter((id) => id !== '')
    const standings = await readInvoiceStandings(tx, businessId, ids)
    const [first] = standings
    if (
      !first ||
      standings.length !== ids.length ||
      !standings.every(({ clientId }) => payer.family.includes(clientId))
    )
      return noSuchInvoice()
    const { currency } = first
    if (standings.some((one) => one.currency !== currency))
      return refused('does-not-fit', 'These invoices are in two currencies. Credit moves within one.')
    const amountMinor = amountIn(input.amount, currency)
    if (amountMinor === null || amountMinor <= 0) return invalid({ amount: [amountWords(currency)] })
    const from = standings.find(({ id }) => id === input.fromInvoiceId)
    const to = standings.find(({ id }) => id === input.toInvoiceId)
    const there = from ? from.paidMinor : await readUnallocated(tx, businessId, payer.family, currency)
    if (amountMinor > there)
      return refused('too-much', `Only ${payer.say(Math.max(0, there), currency)} is there to move.`)
    if (to && amountMinor > to.outstandingMinor)
      return refused(
        'too-much',
        `Only ${payer.say(Math.max(0, to.outstandingMinor), currency)} of ${to.number} is still owed.`,
      )
    const movedOn = asDbDate(dayIn(payer.timeZone, madeAt))
    const row = { businessId, clientId: payer.clientId, movedOn, commandId }
    await tx.allocation.createMany({
      data: [
        ...(from ? [{ ...row, id: newId(), invoiceId: from.id, amountMinor: -amountMinor }] : []),
        ...(to ? [{ ...row, id: newId(), invoiceId: to.id, amountMinor }] : []),
      ],
    })
    await audit('allocation', commandId, 'move', undefined, { ...input, amountMinor })
    return done({ movedMinor: amountMinor })
  },
)

async function writeReceipt(
  context: CommandContext,
  payer: Payer,
  receipt: Receipt,
  correctsId: string | null,
): Recorded {
  const { tx, actor, commandId, madeAt, audit } = context
  const { businessId } = actor
  const { amountMinor, currency, receivedOn, method, reference, parts } = receipt
  if (receivedOn > dayIn(payer.timeZone, madeAt)) return invalid({ receivedOn: ['That day is yet to come.'] })
  const row = { clientId: payer.clientId, currency, amountMinor, method, reference, correctsId, commandId }
  await tx.payment.create({ data: { ...row, businessId, id: commandId, receivedOn: asDbDate(receivedOn) } })
  await tx.allocation.createMany({
    data: parts.map((part) => ({
      ...part,
      businessId,
      id: newId(),
      clientId: payer.clientId,
      paymentId: commandId,
      commandId,
    })),
  })
  await audit('payment', commandId, correctsId === null ? 'record' : 'correct', undefined, {
    ...row,
    receivedOn,
    parts,
  })
  // What goes back came in before, here or at its invoice; and what a corrected payment gave is not used elsewhere.
  const touched = correctsId === null ? parts : [...parts, ...(await partsOf(context, correctsId))]
  const standings = await readInvoiceStandings(tx, businessId, [...new Set(touched.map(({ invoiceId }) => invoiceId))])
  const short = standings.find(({ paidMinor }) => paidMinor < 0)
  if (short)
    return refused(
      'too-much',
      `No more can go back than came in: ${payer.say(short.paidMinor - Math.min(0, amountMinor), currency)} was paid on ${short.number}.`,
    )
  const unallocated = await readUnallocated(tx, businessId, payer.family, currency)
  if (unallocated < 0) {
    const before = payer.say(Math.max(0, unallocated - Math.min(0, amountMinor)), currency)
    return refused(
      'too-much',
      correctsId === null
        ? `No more can go back than came in: the client has ${before} in hand.${await refundElsewhere(context, payer, currency)}`
        : `${payer.say(-unallocated, currency)} of this payment is used for other invoices. Move that back first.`,
    )
  }
  const [first] = standings
  const outstandingMinor = first?.outstandingMinor ?? 0
  return done({ paymentId: commandId, state: first ? paymentState(first) : 'paid', outstandingMinor })
}

/** What a corrected payment settles when nobody says otherwise: the same invoices in the same order, none beyond what it owes. */
async function partsLeft(context: CommandContext, before: readonly Part[], amountMinor: number): Promise<Part[]> {
  const { tx, actor } = context
  const same = before.reduce((sum, part) => sum + part.amountMinor, 0) === amountMinor
  if (same || amountMinor <= 0) return amountMinor === 0 ? [] : keep(before, amountMinor)
  const standings = await readInvoiceStandings(
    tx,
    actor.businessId,
    before.map(({ invoiceId }) => invoiceId),
  )
  let left = amountMinor
  return before.flatMap(({ invoiceId, amountMinor: was }) => {
    const owed = (standings.find(({ id }) => id === invoiceId)?.outstandingMinor ?? 0) + was
    const takes = Math.max(0, Math.min(left, owed))
    left -= takes
    return takes === 0 ? [] : [{ invoiceId, amountMinor: takes }]
  })
}

/** Money given back keeps to its invoice. */
function keep(before: readonly Part[], amountMinor: number): Part[] {
  const [only, ...more] = before
  if (!only) return []
  return more.length === 0 && amountMinor < 0
    ? [{ invoiceId: only.invoiceId, amountMinor }]
    : before.map(({ invoiceId, amountMinor: minor }) => ({ invoiceId, amountMinor: minor }))
}

/** The parts as typed: issued invoices of this client in one currency, none beyond what it owes. `instead`: without what that payment settles. */
async function readParts(
  { tx, actor }: CommandContext,
  payer: Payer,
  typed: readonly { invoiceId: string; amount: string }[],
  instead?: string,
) {
  const standings = await readInvoiceStandings(
    tx,
    actor.businessId,
    typed.map(({ invoiceId }) => invoiceId),
  )
  const given = instead === undefined ? [] : await partsOf({ tx, actor }, instead)
  const currency = standings[0]?.currency ?? payer.currency
  const parts: Part[] = []
  for (const { invoiceId, amount } of typed) {
    const invoice = standings.find(({ id }) => id === invoiceId)
    if (!invoice || !payer.family.includes(invoice.clientId)) return noSuchInvoice()
    if (invoice.currency !== currency)
      return refused('does-not-fit', 'These invoices are in two currencies. Record a payment for each.')
    const amountMinor = amountIn(amount, currency)
    if (amountMinor === null || amountMinor < 0) return invalid({ [`part|${invoiceId}`]: [amountWords(currency)] })
    const owed = invoice.outstandingMinor + minorOf(given, invoiceId)
    if (amountMinor > owed)
      return refused('too-much', `Only ${payer.say(Math.max(0, owed), currency)} of ${invoice.number} is still owed.`)
    if (amountMinor > 0) parts.push({ invoiceId, amountMinor })
  }
  return { currency, parts }
}

const settlesNone = (payer: Payer, restMinor: number, currency: string) =>
  refused(
    'overpaid',
    `${payer.say(restMinor, currency)} of it settles no invoice. Say yes to keep it as the client’s credit.`,
  )

const sumOf = (parts: readonly { amountMinor: number }[]) => parts.reduce((sum, part) => sum + part.amountMinor, 0)

const minorOf = (parts: readonly Part[], invoiceId: string) =>
  parts.reduce((sum, part) => (part.invoiceId === invoiceId ? sum + part.amountMinor : sum), 0)

function partsOf({ tx, actor }: Pick<CommandContext, 'tx' | 'actor'>, paymentId: string): Promise<Part[]> {
  const where = { businessId: actor.businessId, paymentId }
  return tx.allocation.findMany({ where, select: { invoiceId: true, amountMinor: true } })
}

async function issuedInvoice({ tx, actor }: CommandContext, invoiceId: string) {
  const [invoice] = await readInvoiceStandings(tx, actor.businessId, [invoiceId])
  if (!invoice) return refused('not-a-draft', 'This is still a draft. Issue it before money comes in.')
  if (invoice.documentType !== 'invoice')
    return refused(
      'does-not-fit',
      'A credit note is settled with its invoice. Record money paid back there, with a minus.',
    )
  return invoice
}

function amountIn(typed: string, currency: string): number | null {
  const amountMinor = amountTextToMinor(typed, currency)
  return amountMinor === null || Math.abs(amountMinor) > 2_147_483_647 ? null : amountMinor
}

const amountWords = (currency: string) => `Write an amount in ${currency}, for example 297.36.`
