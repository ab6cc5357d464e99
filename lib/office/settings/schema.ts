import * as z from 'zod'
import { currentSlug } from '@/lib/trade/catalogue/formerly'
import { countryField } from '../frame/country'
import { endpointField, text } from '../frame/fields'
import { envelope } from '../frame/schema'
import { readTaxParts, sumOfParts } from '../money/tax-parts'
import { email, isTimeZone } from '../people/schema'
import { isBic, isIban, isRoutingNumber } from './iban'

const compact = text(60).transform((value) => value.replace(/[\s.-]/g, '').toUpperCase())
const prefix = text(12).regex(/^[A-Za-z0-9/-]*$/, 'Take letters, digits, - and / only.')

export const VOLUME_UNITS = [
  { value: 'L', label: 'Litres' },
  { value: 'us_gal', label: 'US gallons' },
  { value: 'imp_gal', label: 'Imperial gallons' },
] as const
export const GALLONS = [
  { value: '', label: 'Ask me each time' },
  { value: 'us', label: 'US gallons (3.785 L)' },
  { value: 'imperial', label: 'Imperial gallons (4.546 L)' },
] as const
/** Codes of UNTDID 5305 that a seller may have as the usual one. */
export const DEFAULT_TAX_CATEGORIES = [
  { value: 'S', label: 'Registered: standard rate' },
  { value: 'Z', label: 'Registered: zero rated' },
  { value: 'E', label: 'Registered: exempt' },
  { value: 'O', label: 'Not registered: no tax' },
] as const

const onlyDigits = text(40).transform((value) => value.replace(/[\s.-]/g, ''))
const blankOr = (pattern: RegExp, words: string) =>
  onlyDigits.default('').refine((value) => value === '' || pattern.test(value), words)

/** What stands on papers beside names and addresses: parties, accounts that are no IBAN, the foot. */
const onPapers = {
  region: text(80).default(''),
  companyNumber: text(40).default(''),
  endpoint: endpointField,
  accountName: text(140).default(''),
  // Six digits in the United Kingdom and Ireland (from memory); printed in pairs.
  sortCode: blankOr(/^\d{6}$/, 'A sort code has six digits, like 04-00-04.').transform((digits) =>
    digits.replace(/(\d\d)(?=\d)/g, '$1-'),
  ),
  accountNumber: blankOr(/^[0-9A-Za-z]{4,17}$/, 'An account number has 4 to 17 digits.'),
  routingNumber: blankOr(/^\d{9}$/, 'A routing number has nine digits.').refine(
    (value) => value === '' || isRoutingNumber(value),
    'This routing number is mistyped: its check digit does not fit.',
  ),
  paperFooter: text(300).default(''),
}

/** Blank leaves it: numbers only go up, from wherever the old books ended. */
const nextNumber = text(12)
  .default('')
  .refine((value) => /^\d{0,9}$/.test(value), 'Write the number alone, without the letters before it.')

/** What stands on invoices and how things are written; also what a new agreement or invoice begins with. */
export const businessSettingsSchema = envelope
  .extend({
    name: text(120).min(1, 'Write what your business is called.'),
    legalName: text(200),
    address: text(200),
    postcode: text(20),
    city: text(80),
    country: countryField,
    taxNumber: text(40),
    email: z.union([z.literal(''), email]),
    phone: text(60),
    iban: compact.refine((iban) => iban === '' || isIban(iban), 'This IBAN is mistyped: its check digits do not fit.'),
    bic: compact.refine((bic) => bic === '' || isBic(bic), 'A BIC has 8 or 11 letters and digits.'),
    ...onPapers,
    currency: text(3, 'Write three letters, like GBP or EUR.')
      .toUpperCase()
      .regex(/^[A-Z]{3}$/, 'Write three letters, like GBP or EUR.'),
    locale: text(40).refine(isLocale, 'Choose a language from the list.'),
    timeZone: text(80).refine(isTimeZone, 'Choose a time zone from the list.'),
    volumeUnit: z.enum(['L', 'us_gal', 'imp_gal'], 'Choose a unit.'),
    gallon: z.enum(['', 'us', 'imperial'], 'Choose what a gallon is.'),
    paymentTermsDays: wholeNumber(0, 365, 'Write a number of days from 0 to 365.'),
    defaultTaxCategory: z.enum(['S', 'Z', 'E', 'O'], 'Choose a kind of tax.'),
    defaultTaxRate: text(10)
      .transform((value) => value.replace(',', '.'))
      .pipe(text(10).regex(/^\d{1,2}(\.\d{1,4})?$/, 'Write a rate in per cent, like 20 or 8.875.'))
      .default('0'),
    defaultTaxParts: text(400)
      .default('')
      .refine(
        (typed) => readTaxParts(typed) !== null,
        'Write each tax as its name and its rate, with a plus between: State 4 + City 4.5.',
      ),
    invoicePrefix: prefix,
    creditNotePrefix: prefix,
    nextInvoiceNumber: nextNumber,
    nextCreditNoteNumber: nextNumber,
  })
  .overwrite((fields) => {
    const defaultTaxParts = fields.defaultTaxCategory === 'S' ? fields.defaultTaxParts : ''
    const parts = readTaxParts(defaultTaxParts)
    if (fields.defaultTaxCategory !== 'S') return { ...fields, defaultTaxParts, defaultTaxRate: '0' }
    return parts === null || parts.length === 0 ? fields : { ...fields, defaultTaxRate: sumOfParts(parts) }
  })
  .superRefine(({ defaultTaxCategory, defaultTaxRate }, context) => {
    const isZero = Number(defaultTaxRate) === 0
    if (defaultTaxCategory === 'S' && isZero)
      context.addIssue({ code: 'custom', path: ['defaultTaxRate'], message: 'The standard rate is above 0.' })
  })

/** No logo is larger than this when it comes in. */
export const MOST_LOGO_BYTES = 2 * 1024 * 1024
/** A logo and the words around it in a form. */
export const LOGO_FORM_MOST_BYTES = MOST_LOGO_BYTES + 64 * 1024
export type LogoUpload = z.output<typeof removeLogoSchema>
/** What the log keeps of a logo: the hash of it as it was received. */
export const keepLogoSchema = envelope.extend({ sha256: text(64).regex(/^[0-9a-f]{64}$/) })
export const removeLogoSchema = envelope

export const LOGO_WORDS = {
  'too-large': 'This picture is larger than 2 MB. Send a smaller one.',
  'not-a-picture': 'This is not a picture that can be printed: PNG or JPEG.',
  tooLarge: 'This picture is larger than 2 MB. Send a smaller one.',
  signedOut: 'Sign in again, then choose the picture once more.',
  noForm: 'There is no picture in this.',
} as const

/** Costs of one class of equipment, or of everything (`*`). Amounts come as typed; the command knows the currency. */
export const costsSchema = envelope.extend({
  equipmentClass: text(80).min(1).transform(currentSlug),
  planned: text(20),
  found: text(20),
  callOut: text(20),
  hiddenPerDay: text(20),
  shareReportedPercent: text(10)
    .transform((value) => value.replace(',', '.'))
    .pipe(text(10).regex(/^(100|\d{1,2}(\.\d{1,2})?)$/, 'Write a share from 0 to 100.')),
})

function wholeNumber(least: number, most: number, words: string) {
  return z.preprocess(
    (typed) => (typeof typed === 'string' && /^\s*\d{1,4}\s*$/.test(typed) ? Number(typed) : typed),
    z.int(words).min(least, words).max(most, words),
  )
}

function isLocale(value: string): boolean {
  try {
    return Intl.DateTimeFormat.supportedLocalesOf(value).length === 1
  } catch {
    return false
  }
}
