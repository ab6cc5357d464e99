import { z } from 'zod'
import { email, envelope, isTimeZone } from '../people/schema'
import { isCountry } from './choices'
import { isBic, isIban } from './iban'

const line = (most: number) => z.string().trim().max(most, `Take at most ${most} characters.`)
const compact = z
  .string()
  .max(60)
  .transform((value) => value.replace(/[\s.-]/g, '').toUpperCase())
const prefix = line(12).regex(/^[A-Za-z0-9/-]*$/, 'Take letters, digits, - and / only.')

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
  { value: 'S', label: 'Standard rate' },
  { value: 'Z', label: 'Zero rated' },
  { value: 'E', label: 'Exempt' },
  { value: 'O', label: 'Outside the scope of the tax' },
] as const

/** What stands on invoices and how things are written; also what a new agreement or invoice begins with. */
export const businessSettingsSchema = envelope
  .extend({
    name: line(120).min(1, 'What is your business called?'),
    legalName: line(200),
    address: line(200),
    postcode: line(20),
    city: line(80),
    country: z.string().trim().toUpperCase().refine(isCountry, 'Write the two letters of the country, like GB.'),
    taxNumber: line(40),
    email: z.union([z.literal(''), email]),
    phone: line(60),
    iban: compact.refine((iban) => iban === '' || isIban(iban), 'This IBAN is mistyped: its check digits do not fit.'),
    bic: compact.refine((bic) => bic === '' || isBic(bic), 'A BIC has 8 or 11 letters and digits.'),
    currency: z
      .string()
      .trim()
      .toUpperCase()
      .regex(/^[A-Z]{3}$/, 'Write three letters, like GBP or EUR.'),
    locale: z.string().refine(isLocale, 'Choose a language from the list.'),
    timeZone: z.string().refine(isTimeZone, 'Choose a time zone from the list.'),
    volumeUnit: z.enum(['L', 'us_gal', 'imp_gal'], 'Choose a unit.'),
    gallon: z.enum(['', 'us', 'imperial'], 'Choose what a gallon is.'),
    paymentTermsDays: wholeNumber(0, 365, 'Write a number of days from 0 to 365.'),
    defaultTaxCategory: z.enum(['S', 'Z', 'E', 'O'], 'Choose a kind of tax.'),
    defaultTaxRate: z
      .string()
      .trim()
      .transform((value) => value.replace(',', '.'))
      .pipe(z.string().regex(/^\d{1,2}(\.\d{1,2})?$/, 'Write a rate in per cent, like 20 or 5.5.')),
    invoicePrefix: prefix,
    creditNotePrefix: prefix,
  })
  .superRefine(({ defaultTaxCategory, defaultTaxRate }, context) => {
    const isZero = Number(defaultTaxRate) === 0
    if (defaultTaxCategory !== 'S' && !isZero)
      context.addIssue({ code: 'custom', path: ['defaultTaxRate'], message: 'Only the standard rate is above 0.' })
    if (defaultTaxCategory === 'S' && isZero)
      context.addIssue({ code: 'custom', path: ['defaultTaxRate'], message: 'The standard rate is above 0.' })
  })

/** Costs of one class of equipment, or of everything (`*`). Amounts come as typed; the command knows the currency. */
export const costsSchema = envelope.extend({
  equipmentClass: z.string().min(1).max(80),
  planned: line(20),
  found: line(20),
  callOut: line(20),
  hiddenPerDay: line(20),
  shareReportedPercent: z
    .string()
    .trim()
    .transform((value) => value.replace(',', '.'))
    .pipe(z.string().regex(/^(100|\d{1,2}(\.\d{1,2})?)$/, 'Write a share from 0 to 100.')),
})

function wholeNumber(least: number, most: number, words: string) {
  return z
    .string()
    .trim()
    .regex(/^\d{1,4}$/, words)
    .transform(Number)
    .refine((value) => value >= least && value <= most, words)
}

function isLocale(value: string): boolean {
  try {
    return Intl.DateTimeFormat.supportedLocalesOf(value).length === 1
  } catch {
    return false
  }
}
