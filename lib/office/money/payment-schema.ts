/** What the payment forms send. */
import * as z from 'zod'
import { text } from '../frame/fields'
import { ticked } from '../frame/schema'
import { date, id, shortText } from './money-fields'

/** An amount as typed, with or without its currency's sign. What it is in minor units, the command says: it knows the currency. */
const amountText = (missing: string) => text(40, 'Write the amount as a number, for example 297.36.', missing)
/** A figure, with no more letters than a currency has. */
const hasFigure = (value: string) => /\d/.test(value) && /^\P{L}*\p{L}{0,3}\P{L}*$/u.test(value)

/** How money came in. */
const receipt = {
  method: shortText(60).default(''),
  reference: shortText(140).default(''),
  /** Said yes to taking in more than is owed. */
  overpaymentAccepted: ticked.default(false),
  /** Said yes to a day of long ago. */
  longAgoAccepted: ticked.optional(),
}
/** Said yes to a second payment like one that is recorded already. */
const secondAccepted = ticked.optional()
const received = amountText('Write the amount that came in.')
  .min(1, 'Write the amount that came in.')
  .refine(hasFigure, 'Write the amount as a number, for example 297.36.')
  .refine((value) => /[1-9]/.test(value), 'A payment of nothing cannot be recorded.')

/** Full or part payment. The amount stays text here: how many decimals it may have depends on the invoice's currency. */
export const recordPaymentSchema = z.object({
  id,
  businessId: id,
  invoiceId: id,
  receivedOn: date('Write the day the money came in.'),
  amount: received,
  secondAccepted,
  ...receipt,
})
export type RecordPayment = z.infer<typeof recordPaymentSchema>

// What is no amount is said by the command, at the invoice's own field.
const parts = z.array(z.object({ invoiceId: id, amount: amountText('Write an amount.') })).max(500)

/** One payment of a client over several invoices. */
export const recordReceiptSchema = z.object({
  id,
  businessId: id,
  clientId: z.uuid('Choose who pays.'),
  receivedOn: date('Write the day the money came in.'),
  amount: received,
  parts: parts.default([]),
  secondAccepted,
  ...receipt,
})

/** A payment that was written down wrongly: what it should have said. An amount of 0 says that no money came. */
export const correctPaymentSchema = z.object({
  id,
  businessId: id,
  paymentId: id,
  /** Left out: it came on the day written down before. */
  receivedOn: z.union([z.literal('').transform(() => undefined), date('Write the day the money came in.')]).optional(),
  amount: amountText('Write the amount that really came in.').refine(
    hasFigure,
    'Write the amount as a number, for example 297.36, or 0.',
  ),
  /** Left out: the same invoices as before. None: all of it is in hand. */
  parts: parts.optional(),
  ...receipt,
})

/** An invoice's field in the form of a payment is this and its id; a blank one takes nothing. */
export const PART_PREFIX = 'part|'

/** The fields of such a form with the command's `parts`; where these are there already, or the form offers no invoice, they stay as they are. */
export function fieldsWithParts(fields: Record<string, unknown>): Record<string, unknown> {
  if ('parts' in fields || !Object.keys(fields).some((name) => name.startsWith(PART_PREFIX))) return fields
  const typed = Object.entries(fields).flatMap(([name, amount]) =>
    name.startsWith(PART_PREFIX) && typeof amount === 'string' && !/^\s*0*([.,]0*)?\s*$/.test(amount)
      ? [{ invoiceId: name.slice(PART_PREFIX.length), amount }]
      : [],
  )
  return { ...fields, parts: typed }
}

/** Credit moved: blank is the client's credit in hand. */
export const moveCreditSchema = z.object({
  id,
  businessId: id,
  clientId: id,
  fromInvoiceId: z.union([z.literal(''), id]),
  toInvoiceId: z.union([z.literal(''), id]),
  amount: amountText('Write how much.').refine(hasFigure, 'Write the amount as a number, for example 297.36.'),
})
