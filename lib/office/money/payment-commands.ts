import 'server-only'
import type { Actor } from '../actor'
import { addDays, asDay, asDbDate, dayIn } from '../clients/days'
import { done, invalid, refused } from '../result'
import { amountTextToMinor } from './currency'
import { changeMoney, lockInvoice, type MoneyContext, type MoneyResult, noSuchInvoice } from './money-command'
import { type PaymentStanding, paymentStanding } from './payment-state'
import { amountInWords } from './projection'
import type { CorrectPayment, RecordPayment } from './schema'
import { creditsOf, paymentsOf, readInvoice, type StoredInvoice } from './stored-document'

type Recorded = MoneyResult<{ paymentId: string; state: PaymentStanding['state']; outstandingMinor: number }>

/**
 * Writes down that money came in (or, with a minus, went back). More than is owed is asked about first. The payment's id
 * is the command's. Payments are never changed, only corrected.
 */
export function recordPayment(actor: Actor, input: RecordPayment): Recorded {
  return changeMoney(actor, { action: 'payment.record', kind: 'payment.record' }, input, (context) =>
    writePayment(context, input.invoiceId, input, null),
  )
}

/** Puts right a payment that was written down wrongly: a new row takes its place; the old one stays to be seen. */
export function correctPayment(actor: Actor, input: CorrectPayment): Recorded {
  return changeMoney(actor, { action: 'payment.record', kind: 'payment.correct' }, input, async (context) => {
    const { tx } = context
    const wrong = await tx.payment.findFirst({
      where: { businessId: actor.businessId, id: input.paymentId },
      include: { correctedBy: { select: { id: true } } },
    })
    if (!wrong) return refused('not-found', 'This payment is not in the books any more. Reload the page.')
    if (wrong.correctedBy)
      return refused('already-so', 'This payment has been corrected already. Correct the newer one.')
    return writePayment(context, wrong.invoiceId, input, wrong.id)
  })
}

async function writePayment(
  context: MoneyContext,
  invoiceId: string,
  input: Pick<RecordPayment, 'amount' | 'receivedOn' | 'method' | 'reference' | 'overpaymentAccepted'>,
  correctsId: string | null,
): Recorded {
  const { tx, actor, commandId, madeAt, audit } = context
  const { businessId } = actor
  const held = await lockInvoice(context, invoiceId)
  if (!held) return noSuchInvoice()
  if (held.state !== 'issued') return refused('not-a-draft', 'This is still a draft. Issue it before money comes in.')
  if (held.documentType !== 'invoice')
    return refused(
      'does-not-fit',
      'A credit note is settled with its invoice. Record money paid back there, with a minus.',
    )
  const invoice = await readInvoice(tx, businessId, invoiceId)
  if (!invoice) return noSuchInvoice()
  const amountMinor = amountTextToMinor(input.amount, invoice.currency)
  if (amountMinor === null || Math.abs(amountMinor) > 2_147_483_647)
    return invalid({ amount: [`Write an amount in ${invoice.currency}, for example 297.36.`] })
  const today = dayIn(invoice.business.timeZone, madeAt)
  if (input.receivedOn > addDays(today, 1)) return invalid({ receivedOn: ['That day is yet to come.'] })

  const others = { ...invoice, payments: invoice.payments.filter(({ id }) => id !== correctsId) }
  const before = standingOf(others, today)
  const after = before.outstandingMinor - amountMinor
  if (amountMinor > 0 && after < 0 && !input.overpaymentAccepted) {
    const amount = (minor: number) =>
      `${amountInWords(minor, invoice.currency, invoice.business.locale)} ${invoice.currency}`
    const words = `That is ${amount(-after)} more than is owed (${amount(Math.max(0, before.outstandingMinor))}). Say yes if so much came in.`
    return refused('overpaid', words)
  }
  const { receivedOn, method, reference } = input
  const row = { invoiceId, clientId: invoice.clientId, amountMinor, method, reference, correctsId, commandId }
  await tx.payment.create({ data: { ...row, businessId, id: commandId, receivedOn: asDbDate(receivedOn) } })
  await audit('payment', commandId, correctsId === null ? 'record' : 'correct', undefined, { ...row, receivedOn })
  const payments = [...paymentsOf(others), { amountMinor, receivedOn }]
  const { state, outstandingMinor } = paymentStanding(owedOf(invoice), payments, today)
  return done({ paymentId: commandId, state, outstandingMinor })
}

/** How a stored invoice stands on a day. */
export function standingOf(invoice: StoredInvoice, today: string): PaymentStanding {
  return paymentStanding(owedOf(invoice), paymentsOf(invoice), today)
}

function owedOf(invoice: StoredInvoice) {
  const creditedMinor = creditsOf(invoice).reduce((sum, { amountMinor }) => sum + amountMinor, 0)
  return { grossMinor: invoice.grossMinor, creditedMinor, dueOn: asDay(invoice.dueOn) }
}
