/** Fields that several forms about money have: days, amounts, quantities, how something is taxed. */
import * as z from 'zod'
import { dayField, text } from '../frame/fields'
import { withoutGrouping, withPlainMinus } from '../frame/numbers'
import { needsExemptionReason, TAX_CATEGORIES, TAX_CATEGORY_WORDS, usualReason } from './tax'
import { readTaxParts, sumOfParts } from './tax-parts'

export const id = z.uuid('Something is missing here. Reload the page.')

/** A date of the calendar as the date field gives it. */
export const date = dayField

export const shortText = (most: number) => text(most, `At most ${most} letters.`)

type DecimalText = { whole: number; decimals: number; what: string; isMoney?: boolean }

/**
 * Decimal text with at most so many figures before and after the point; a decimal comma is read as a point, unless it may group thousands:
 * then it does (money: "1,297" is never one pound thirty, here as in a payment), or is asked about. A currency's sign is passed over: it stands
 * beside the field.
 */
function decimalText({ whole, decimals, what, isMoney = false }: DecimalText) {
  const pattern = new RegExp(`^-?\\d{1,${whole}}(\\.\\d{1,${decimals}})?$`)
  const words = `Write ${what} as a number, for example 2 or 0.5.`
  return text(40, words, words)
    .transform((value) => withoutGrouping(withPlainMinus(value).replace(/^(-?)\p{Sc}\s*|\s*\p{Sc}$/gu, '$1')))
    .transform((value) => (isMoney && /^-?[1-9]\d{0,2}(,\d{3})+$/.test(value) ? value.replaceAll(',', '') : value))
    .refine((value) => !/^-?\d{1,3}(,\d{3})+$/.test(value), 'Write it without a comma: 1297 or 1.297.')
    .transform((value) => value.replace(',', '.'))
    .refine((value) => /^-?\d+(\.\d+)?$/.test(value), `Write ${what} as a number, for example 2 or 0.5.`)
    .refine(
      (value) => !/^-?\d+(\.\d+)?$/.test(value) || pattern.test(value),
      `At most ${whole} figures before the point and ${decimals} after it.`,
    )
}

/** numeric(12,3) and numeric(14,4) of the tables. */
export const quantity = decimalText({ whole: 9, decimals: 3, what: 'the quantity' })
export const unitPrice = decimalText({ whole: 10, decimals: 4, what: 'the price', isMoney: true })
const ratePercent = decimalText({ whole: 3, decimals: 4, what: 'the tax rate' }).refine(
  (value) => !value.startsWith('-') && Number(value) <= 100,
  'A tax rate lies between 0 and 100 %.',
)

type TaxFields = {
  taxCategory: (typeof TAX_CATEGORIES)[number]
  taxRate: string
  taxExemptionReason: string
  taxParts?: string | undefined
}

/** What does not belong to the category is taken off, whatever a field that is not shown any more still holds; named taxes make the rate; a reason that the category says by itself may be left out. */
export function ofCategory<Fields extends TaxFields>(fields: Fields): Fields {
  const isTaxed = fields.taxCategory === 'S'
  const taxParts = (isTaxed && fields.taxParts) || ''
  const parts = readTaxParts(taxParts)
  return {
    ...fields,
    taxParts,
    taxRate: !isTaxed ? '0' : parts !== null && parts.length > 0 ? sumOfParts(parts) : fields.taxRate,
    taxExemptionReason: needsExemptionReason(fields.taxCategory)
      ? fields.taxExemptionReason || usualReason(fields.taxCategory)
      : '',
  }
}

export function checkTax(
  value: TaxFields,
  problems: { addIssue(issue: { code: 'custom'; path: string[]; message: string }): void },
) {
  const add = (field: keyof TaxFields, message: string) => problems.addIssue({ code: 'custom', path: [field], message })
  const words = TAX_CATEGORY_WORDS[value.taxCategory]
  const rate = Number(value.taxRate)
  if (value.taxCategory === 'S' && !(rate > 0)) add('taxRate', 'A taxed line needs a rate above 0 %.')
  if (rate > 100) add('taxParts', 'Together these taxes are above 100 %.')
  if (needsExemptionReason(value.taxCategory) && value.taxExemptionReason === '') {
    add('taxExemptionReason', `“${words}” needs the reason in words, for example the law it rests on.`)
  }
}

const taxCategory = z.enum(TAX_CATEGORIES, 'Choose how it is taxed.')
const taxExemptionReason = shortText(200).default('')
const taxParts = shortText(400)
  .refine(
    (typed) => readTaxParts(typed) !== null,
    'Write each tax as its name and its rate, with a plus between: State 4 + City 4.5.',
  )
  .optional()
/** How something is taxed. A field that is not shown for a category may be missing. */
export const taxFields = { taxCategory, taxRate: ratePercent.default('0'), taxExemptionReason, taxParts }
