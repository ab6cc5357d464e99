/** Forms of the Money screens. The same schema serves the form, the action and the phone; messages speak to the person. */
import { z } from 'zod'
import { needsExemptionReason, TAX_CATEGORIES, TAX_CATEGORY_WORDS } from './tax'

const id = z.uuid('Something is missing here. Reload the page.')

/** A date of the calendar as the date field gives it. */
const date = (message: string) => z.iso.date(message)

const shortText = (max: number) => z.string().trim().max(max, `At most ${max} letters.`)

/** Decimal text with at most so many figures before and after the point; a decimal comma is read as a point, unless it may group thousands. */
function decimalText({ whole, decimals, what }: { whole: number; decimals: number; what: string }) {
  const pattern = new RegExp(`^-?\\d{1,${whole}}(\\.\\d{1,${decimals}})?$`)
  return z
    .string(`Write ${what} as a number, for example 2 or 0.5.`)
    .trim()
    .refine((value) => !/^-?\d{1,3}(,\d{3})+$/.test(value), 'Write it without a comma: 1297 or 1.297.')
    .transform((value) => value.replace(',', '.'))
    .refine((value) => /^-?\d+(\.\d+)?$/.test(value), `Write ${what} as a number, for example 2 or 0.5.`)
    .refine(
      (value) => !/^-?\d+(\.\d+)?$/.test(value) || pattern.test(value),
      `At most ${whole} figures before the point and ${decimals} after it.`,
    )
}

/** numeric(12,3) and numeric(14,4) of the tables. */
const quantity = decimalText({ whole: 9, decimals: 3, what: 'the quantity' })
const unitPrice = decimalText({ whole: 10, decimals: 4, what: 'the price' })
const ratePercent = decimalText({ whole: 3, decimals: 2, what: 'the tax rate' }).refine(
  (value) => !value.startsWith('-') && Number(value) <= 100,
  'A tax rate lies between 0 and 100 %.',
)

type TaxFields = { taxCategory: (typeof TAX_CATEGORIES)[number]; taxRate: string; taxExemptionReason: string }

function checkTax(
  value: TaxFields,
  problems: { addIssue(issue: { code: 'custom'; path: string[]; message: string }): void },
) {
  const add = (field: keyof TaxFields, message: string) => problems.addIssue({ code: 'custom', path: [field], message })
  const words = TAX_CATEGORY_WORDS[value.taxCategory]
  const rate = Number(value.taxRate)
  if (value.taxCategory === 'S' && !(rate > 0)) add('taxRate', 'A taxed line needs a rate above 0 %.')
  if (value.taxCategory !== 'S' && rate !== 0) add('taxRate', `“${words}” has a rate of 0 %.`)
  if (needsExemptionReason(value.taxCategory) && value.taxExemptionReason === '') {
    add('taxExemptionReason', `“${words}” needs the reason in words, for example the law it rests on.`)
  }
  if (!needsExemptionReason(value.taxCategory) && value.taxExemptionReason !== '') {
    add('taxExemptionReason', `“${words}” takes no exemption reason.`)
  }
}

const taxCategory = z.enum(TAX_CATEGORIES, 'Choose how it is taxed.')
const taxExemptionReason = shortText(200).default('')

/** Full or part payment. The amount stays text here: how many decimals it may have depends on the invoice's currency. */
export const recordPaymentSchema = z.object({
  id,
  businessId: id,
  invoiceId: id,
  receivedOn: date('Write the day the money came in.'),
  amount: z
    .string('Write the amount that came in.')
    .trim()
    .min(1, 'Write the amount that came in.')
    .regex(/^-?[\d \u00a0\u202f]+([.,]\d{1,3})?$/, 'Write the amount as a number, for example 297.36.')
    .refine((value) => /[1-9]/.test(value), 'A payment of nothing cannot be recorded.'),
  method: shortText(60).default(''),
  reference: shortText(140).default(''),
  /** Said yes to taking in more than is owed. */
  overpaymentAccepted: z.boolean().default(false),
})
export type RecordPayment = z.infer<typeof recordPaymentSchema>

/** A payment that was written down wrongly: what it should have said. An amount of 0 says that no money came. */
export const correctPaymentSchema = recordPaymentSchema.omit({ invoiceId: true, amount: true }).extend({
  paymentId: id,
  amount: z
    .string('Write the amount that really came in.')
    .trim()
    .regex(/^-?[\d \u00a0\u202f]+([.,]\d{1,3})?$/, 'Write the amount as a number, for example 297.36, or 0.'),
})
export type CorrectPayment = z.infer<typeof correctPaymentSchema>

const month = (message: string) => z.string().regex(/^\d{4}-(0[1-9]|1[0-2])$/, message)

/** Which unbilled work becomes drafts. */
export const makeDraftsSchema = z.object({
  id,
  businessId: id,
  through: month('Up to which month?'),
  /** From when agreements are billed that never were; left out: from the month they were written down. */
  since: month('From which month?').optional(),
  /** Only for these payers; left out: for all. */
  payerIds: z.array(id).optional(),
})
export type MakeDrafts = z.infer<typeof makeDraftsSchema>

export const oneDraftSchema = z.object({ id, businessId: id, invoiceId: id })
export type OneDraft = z.infer<typeof oneDraftSchema>

export const startDraftSchema = z.object({ id, businessId: id, clientId: z.uuid('Choose who pays.') })
export type StartDraft = z.infer<typeof startDraftSchema>

export const PRICED_VISIT_KINDS = ['routine', 'call_out', 'installation'] as const
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
    taxCategory,
    taxRate: ratePercent,
    taxExemptionReason,
    validFrom: date('From which day does this price hold?'),
    /** The kind of visit whose price this is; empty text for none in particular. */
    forVisitKind: z.enum(['', ...PRICED_VISIT_KINDS]).default(''),
  })
  .superRefine(checkTax)
export type PriceItem = z.infer<typeof priceItemSchema>

export const editPriceItemSchema = priceItemSchema.safeExtend({ priceItemId: id })
export type EditPriceItem = z.infer<typeof editPriceItemSchema>

export const onePriceItemSchema = z.object({ id, businessId: id, priceItemId: id })
export type OnePriceItem = z.infer<typeof onePriceItemSchema>

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
    taxCategory,
    taxRate: ratePercent,
    taxExemptionReason,
    serviceStart: date('Write the first day of the service.'),
    serviceEnd: date('Write the last day of the service.'),
  })
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
  expectedGrossMinor: z.int(),
})
export type IssueInvoice = z.infer<typeof issueInvoiceSchema>

/** A credit note for a whole invoice or for some of its lines. */
export const creditInvoiceSchema = z.object({
  id,
  businessId: id,
  invoiceId: id,
  reason: shortText(300).min(1, 'Say why, in words the client will read.'),
  /** Line id and how much of its quantity to credit. */
  lines: z
    .array(z.object({ lineId: id, quantity: quantity.refine((value) => Number(value) > 0, 'Credit more than 0.') }))
    .min(1, 'Choose at least one line to credit.'),
})
export type CreditInvoice = z.infer<typeof creditInvoiceSchema>
