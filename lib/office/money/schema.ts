/** Forms of the Money screens. The same schema serves the form, the action and the phone; messages speak to the person. */
import * as z from 'zod'
import { INTEGER_MAX, text } from '../frame/fields'
import { ticked } from '../frame/schema'
import { CHARGE_KINDS } from './charge'
import { CREDIT_EFFECTS } from './credit-lines'
import { checkTax, date, id, ofCategory, quantity, shortText, taxFields, unitPrice } from './money-fields'
import { MONTH_RULES } from './month-charge'

export {
  correctPaymentSchema,
  fieldsWithParts,
  moveCreditSchema,
  PART_PREFIX,
  type RecordPayment,
  recordPaymentSchema,
  recordReceiptSchema,
} from './payment-schema'

const month = (message: string) => text(7, message, message).regex(/^(19|20)\d{2}-(0[1-9]|1[0-2])$/, message)

/** Which unbilled work becomes drafts. */
export const makeDraftsSchema = z.object({
  id,
  businessId: id,
  through: month('Up to which month?'),
  /** From when agreements are billed that never were; left out: from the month they were written down. */
  since: month('From which month?').optional(),
  /** Only for these payers; left out: for all. */
  payerIds: z.array(id).max(10_000).optional(),
})

export const oneDraftSchema = z.object({ id, businessId: id, invoiceId: id })

export const startDraftSchema = z.object({ id, businessId: id, clientId: z.uuid('Choose who pays.') })

export const PRICED_VISIT_KINDS = ['routine', 'call_out', 'installation', 'out_of_hours'] as const
export const PRICE_ITEM_KINDS = ['labour', 'part', 'fee', 'travel', 'animal'] as const

/** An entry of the price list. A new price is a new entry from a day on; old invoices keep theirs. */
export const priceItemSchema = z
  .object({
    id,
    businessId: id,
    name: shortText(120).min(1, 'Give it a name, as it should stand on the invoice.'),
    kind: z.enum(PRICE_ITEM_KINDS, 'Choose what it is: labour, part, fee, travel or animal.'),
    unit: shortText(20).min(1, 'Say what the price is for: a piece, an hour, a litre.'),
    unitPrice: unitPrice.refine((value) => !value.startsWith('-'), 'A price cannot be below 0.'),
    ...taxFields,
    validFrom: date('From which day does this price hold?'),
    /** The kind of visit whose price this is; empty text for none in particular. */
    forVisitKind: z.enum(['', ...PRICED_VISIT_KINDS]).default(''),
  })
  .overwrite(ofCategory)
  .superRefine(checkTax)
export type PriceItem = z.infer<typeof priceItemSchema>

export const editPriceItemSchema = priceItemSchema.safeExtend({ priceItemId: id })

/** All prices get the tax of the settings from a day on. */
export const taxPricesSchema = z.object({ id, businessId: id, validFrom: date('From which day?') })

export const onePriceItemSchema = z.object({ id, businessId: id, priceItemId: id })

const draftLine = z
  .object({
    id,
    description: shortText(1000).min(1, 'Say what this line is for.'),
    quantity: quantity.refine(
      (value) => Number(value) !== 0,
      'A quantity of 0 bills nothing. Remove the line instead.',
    ),
    unit: shortText(20),
    unitPrice,
    ...taxFields,
    serviceStart: date('Write the first day of the service.'),
    serviceEnd: date('Write the last day of the service.'),
  })
  .overwrite(ofCategory)
  .superRefine(checkTax)
  .refine((line) => line.serviceStart <= line.serviceEnd, {
    path: ['serviceEnd'],
    message: 'The service ends before it begins.',
  })

/** What a person may change on a draft before it is issued. An issued invoice is never edited, only credited. */
export const editDraftSchema = z.object({
  id,
  businessId: id,
  invoiceId: id,
  purchaseOrder: shortText(60).default(''),
  note: shortText(1000).default(''),
  /** The newest change that the form shows; blank or left out: whatever it is. */
  seen: z.union([z.literal(''), id]).optional(),
  /** Said yes to putting this in the place of somebody else's change. */
  changeAccepted: ticked.optional(),
  lines: z.array(draftLine).min(1, 'An invoice needs at least one line.').max(500, 'At most 500 lines on one invoice.'),
})
export type EditDraft = z.infer<typeof editDraftSchema>

/** Issuing takes a number that cannot be given back, so the person confirms what it will say. */
export const issueInvoiceSchema = z.object({
  id,
  businessId: id,
  invoiceId: id,
  issuedOn: date('Write the day of the invoice.'),
  /** Total the person saw; another total by now stops the issuing. */
  expectedGrossMinor: z.int().min(-INTEGER_MAX).max(INTEGER_MAX),
  /** Said yes to a day before that of an earlier number. */
  earlierDayAccepted: ticked.default(false),
})

/** How the books report tax and write decimals in files. */
export const bookChoicesSchema = z.object({
  id,
  businessId: id,
  taxBasis: z.enum(['issue', 'service', 'cash'], 'Choose when tax is reported.'),
  fileDecimals: z.enum(['point', 'comma'], 'Choose how decimals are written.'),
})

const creditedQuantity = quantity.refine((value) => Number(value) > 0, 'Credit more than 0.')
const creditedAmount = text(40)
  .refine((value) => /^[^-\u2212]*\d/.test(value), 'Write the amount as a number, for example 297.36.')
  .refine((value) => /[1-9]/.test(value), 'Credit more than 0.')
const creditEffect = z.enum(CREDIT_EFFECTS, 'Choose: bill it again later, or waive it for good.')

const creditedLine = z
  .object({
    lineId: id,
    /** How much of the line's quantity, or an amount without tax; one of the two. */
    quantity: creditedQuantity.optional(),
    amount: creditedAmount.optional(),
    effect: creditEffect,
  })
  .refine((line) => (line.quantity === undefined) !== (line.amount === undefined), {
    path: ['quantity'],
    message: 'Credit a quantity or an amount.',
  })

/** A credit note for a whole invoice or for some of its lines. */
export const creditInvoiceSchema = z.object({
  id,
  businessId: id,
  invoiceId: id,
  reason: shortText(300).min(1, 'Say why, in words the client will read.'),
  lines: z.array(creditedLine).min(1, 'Choose at least one line to credit.').max(500),
})

/** A line's fields in the form of a credit note are these and its id. Blank ones, or 0, leave the line as it is. */
export const CREDIT_PREFIX = 'credit|'
export const CREDIT_AMOUNT_PREFIX = 'creditAmount|'
export const CREDIT_EFFECT_PREFIX = 'creditEffect|'

const isNothing = (typed: string) => /^\s*0*([.,]0*)?\s*$/.test(typed)

/** The fields of that form as the command's input. An amount counts instead of a quantity. */
export const creditFormSchema = z
  .record(text(200), text(1000))
  .refine((fields) => Object.keys(fields).length <= 1600, 'At most 500 lines at once.')
  .transform((fields, context) => {
    const lines = Object.keys(fields).flatMap((name): z.input<typeof creditedLine>[] => {
      if (!name.startsWith(CREDIT_PREFIX)) return []
      const lineId = name.slice(CREDIT_PREFIX.length)
      const typed = fields[name] ?? ''
      const amount = fields[`${CREDIT_AMOUNT_PREFIX}${lineId}`] ?? ''
      const effect = fields[`${CREDIT_EFFECT_PREFIX}${lineId}`] ?? ''
      if (isNothing(typed) && isNothing(amount)) return []
      const given: { quantity?: string; amount?: string } = isNothing(amount) ? { quantity: typed } : { amount }
      const where = isNothing(amount) ? name : `${CREDIT_AMOUNT_PREFIX}${lineId}`
      const checked = creditedLine.safeParse({ lineId, effect, ...given })
      if (checked.success)
        return [{ lineId, effect: checked.data.effect, quantity: given.quantity, amount: given.amount }]
      for (const { message, path } of checked.error.issues) {
        const field = path[0] === 'effect' ? `${CREDIT_EFFECT_PREFIX}${lineId}` : where
        context.addIssue({ code: 'custom', path: [field], message })
      }
      return []
    })
    return { ...fields, lines }
  })
  .pipe(creditInvoiceSchema)

const chargeKind = z.enum(CHARGE_KINDS)

/** What is never billed, as a key of a charge. */
const chargeKey = z
  .object({ kind: chargeKind, subjectId: id, period: z.union([z.literal(''), text(7)]).default('') })
  .refine(
    ({ kind, period }) => (kind === 'agreement_month' ? /^(19|20)\d{2}-(0[1-9]|1[0-2])$/.test(period) : period === ''),
    {
      message: 'Something is missing here. Reload the page.',
    },
  )

/** "Never bill", with the reason. */
export const waiveChargeSchema = chargeKey.safeExtend({
  id,
  businessId: id,
  reason: shortText(300).min(1, 'Say why it is never billed.'),
})

/** "Never bill" taken back. */
export const takeBackWaiverSchema = z.object({ id, businessId: id, waiverId: id })

/** What a month costs that is covered in part, or whose fee changes within it. */
export const monthRuleSchema = z.object({
  id,
  businessId: id,
  rule: z.enum(MONTH_RULES, 'Choose how such months count.'),
})

/** As many are issued in one act. */
export const ISSUED_AT_ONCE = 500

/** Drafts to issue in one act, each with the total that was seen. */
export const issueReadySchema = z.object({
  id,
  businessId: id,
  issuedOn: date('Write the day of the invoices.'),
  /** The owner has said yes to a day before that of an earlier number. */
  earlierDayAccepted: ticked.optional(),
  drafts: z
    .array(z.object({ invoiceId: id, expectedGrossMinor: z.int().min(-INTEGER_MAX).max(INTEGER_MAX) }))
    .min(1, 'Choose at least one draft.')
    .max(ISSUED_AT_ONCE, 'At most 500 at once.'),
})

/** A draft's field in the form that issues several, and a payer's in the form that makes drafts, are these and the id. */
export const ISSUE_PREFIX = 'issue|'
export const PAYER_PREFIX = 'payer|'

/** The payers ticked, as the command's input; all where the form offered no choice. */
export const makeDraftsFormSchema = z
  .looseObject({ ...makeDraftsSchema.omit({ payerIds: true }).shape, payers: z.literal('some').optional() })
  .refine((fields) => Object.keys(fields).length <= 600, 'At most 500 clients at once.')
  .transform((fields) => {
    if (fields.payers !== 'some') return { ...fields, payerIds: undefined }
    const payerIds = Object.keys(fields).flatMap((name) =>
      name.startsWith(PAYER_PREFIX) ? [name.slice(PAYER_PREFIX.length)] : [],
    )
    return { ...fields, payerIds }
  })
  .pipe(makeDraftsSchema)

/** The drafts ticked, as the command's input: a tick says the total that stood beside it. */
export const issueReadyFormSchema = z
  .record(text(200), text(1000))
  .refine((fields) => Object.keys(fields).length <= 600, 'At most 500 drafts at once.')
  .transform((fields) => {
    const drafts = Object.entries(fields).flatMap(([name, total]) =>
      name.startsWith(ISSUE_PREFIX)
        ? [{ invoiceId: name.slice(ISSUE_PREFIX.length), expectedGrossMinor: Number(total) }]
        : [],
    )
    return { ...fields, drafts }
  })
  .pipe(issueReadySchema)
export type IssueReady = z.infer<typeof issueReadySchema>
