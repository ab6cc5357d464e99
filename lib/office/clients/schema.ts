/**
 * What the office types about clients and sites; the same on the screen and on the server. Figures stay as they were
 * typed, so that nothing is lost when something is refused; the commands read them.
 */
import * as z from 'zod'
import { optionalCountryField } from '../frame/country'
import { dayField, endpointField, text } from '../frame/fields'
import { ticked } from '../frame/schema'

/** What every form carries: the command's own id, which becomes the id of what it makes, and the business it was filled in for. */
export const commandFields = { commandId: z.uuid(), businessId: z.uuid() }

export const shortText = text(200)
export const longText = text(4000)
export const optionalId = z.union([z.uuid(), z.literal('')])
export const isoDate = dayField()
export const optionalIsoDate = z.union([isoDate, z.literal('')])
const email = z.union([z.email('This does not look like an e-mail address.').max(200), z.literal('')])

/** A whole number as typed, within bounds; blank where that is allowed. */
export function wholeNumberText(least: number, most: number, words: string, mayBeBlank = false) {
  return text(20, words).refine((typed) => {
    if (typed === '') return mayBeBlank
    return /^\d{1,9}$/.test(typed) && Number(typed) >= least && Number(typed) <= most
  }, words)
}

/** How a client's work is taxed where that is not as the price list says: codes of UNTDID 5305. An exemption needs its law, price by price. */
export const CLIENT_TAX = [
  { value: '', label: 'As the price list says' },
  { value: 'AE', label: 'Reverse charge: the client owes the tax' },
  { value: 'K', label: 'Supply within the EU' },
  { value: 'G', label: 'Export outside the EU' },
  { value: 'Z', label: 'Zero rated' },
  { value: 'O', label: 'Outside the scope of tax' },
] as const
const CLIENT_TAX_CATEGORIES = CLIENT_TAX.map(({ value }) => value)

const clientFields = {
  name: text(200).min(1, 'Who pays? Give a name.'),
  email,
  phone: text(60),
  billingName: text(200),
  billingAddress: text(500),
  billingPostcode: text(30),
  billingCity: text(120),
  billingRegion: text(80).default(''),
  billingCountry: optionalCountryField,
  taxNumber: text(40),
  taxCategory: z.enum(CLIENT_TAX_CATEGORIES, 'Choose how this client’s work is taxed.').default(''),
  companyNumber: text(40).default(''),
  buyerReference: text(60).default(''),
  endpoint: endpointField,
  paymentTermsDays: wholeNumberText(
    0,
    365,
    'Days to pay: a whole number from 0 to 365, or blank for the usual terms.',
    true,
  ),
  purchaseOrderNeeded: ticked,
  purchaseOrder: text(60),
  note: longText,
}
export const addClientSchema = z.object({ ...commandFields, ...clientFields })
export const editClientSchema = z.object({ ...commandFields, clientId: z.uuid(), ...clientFields })
export type AddClientInput = z.infer<typeof addClientSchema>
export type ClientFields = Omit<AddClientInput, 'commandId' | 'businessId'>

export const EMPTY_CLIENT: ClientFields = {
  name: '',
  email: '',
  phone: '',
  billingName: '',
  billingAddress: '',
  billingPostcode: '',
  billingCity: '',
  billingRegion: '',
  billingCountry: '',
  taxNumber: '',
  taxCategory: '',
  companyNumber: '',
  buyerReference: '',
  endpoint: '',
  paymentTermsDays: '',
  purchaseOrderNeeded: false,
  purchaseOrder: '',
  note: '',
}

/** When we may come in. Weekdays by ISO 8601: Monday is 1, Sunday 7; times are the site's own. */
export const accessWindowSchema = z
  .object({
    weekdays: z
      .array(z.enum(['1', '2', '3', '4', '5', '6', '7']))
      .min(1, 'On which days?')
      .max(7),
    from: z.iso.time({ precision: -1, error: 'A time such as 08:00.' }),
    to: z.iso.time({ precision: -1, error: 'A time such as 17:00.' }),
  })
  .refine((window) => window.from < window.to, { path: ['to'], message: 'This must be later than the start.' })
export type AccessWindow = z.infer<typeof accessWindowSchema>

const siteContactSchema = z.object({
  name: text(200).min(1, 'Give the contact a name, or take the line out.'),
  role: text(120),
  phone: text(60),
  email,
})

const coordinate = (most: number) =>
  text(20).refine(
    (typed) => typed === '' || (/^-?\d{1,3}(\.\d{1,10})?$/.test(typed) && Math.abs(Number(typed)) <= most),
    `Degrees with a decimal point, from -${most} to ${most}.`,
  )

const siteFields = {
  clientId: z.uuid('Whose site is it?'),
  payerClientId: optionalId,
  /** From which day on another payer pays; blank for today. */
  payerSince: optionalIsoDate.optional(),
  name: text(200).min(1, 'Give the site a name.'),
  address: text(500),
  postcode: text(30),
  city: text(120),
  region: text(80).default(''),
  country: optionalCountryField,
  latitude: coordinate(90),
  longitude: coordinate(180),
  accessNote: longText,
  accessWindows: z.array(accessWindowSchema).max(20),
  purchaseOrder: text(60),
  contacts: z.array(siteContactSchema).max(20, 'Twenty contacts at most.'),
}
const bothOrNeither = (site: { latitude: string; longitude: string }) =>
  (site.latitude === '') === (site.longitude === '')
const BOTH = { path: ['longitude'], message: 'Give both degrees, or neither.' }
export const addSiteSchema = z.object({ ...commandFields, ...siteFields }).refine(bothOrNeither, BOTH)
export const editSiteSchema = z
  .object({ ...commandFields, siteId: z.uuid(), ...siteFields })
  .refine(bothOrNeither, BOTH)
export type AddSiteInput = z.infer<typeof addSiteSchema>
export type SiteFields = Omit<AddSiteInput, 'commandId' | 'businessId'>

export const EMPTY_SITE: Omit<SiteFields, 'clientId'> = {
  payerClientId: '',
  payerSince: '',
  name: '',
  address: '',
  postcode: '',
  city: '',
  region: '',
  country: '',
  latitude: '',
  longitude: '',
  accessNote: '',
  accessWindows: [],
  purchaseOrder: '',
  contacts: [],
}

/** Archive or restore one client, site, tank or slot. */
export const oneRowSchema = z.object({ ...commandFields, id: z.uuid() })
export type OneRowInput = z.infer<typeof oneRowSchema>

/** Two entries that are one: `duplicateId` goes into `survivorId`. */
export const mergeSchema = z
  .object({
    ...commandFields,
    survivorId: z.uuid('Choose the entry to keep.'),
    duplicateId: z.uuid('Choose the entry that is the same.'),
  })
  .refine((pair) => pair.survivorId !== pair.duplicateId, {
    path: ['duplicateId'],
    message: 'Choose two different entries.',
  })
export type MergeInput = z.infer<typeof mergeSchema>

/** The words of a search box; what is not text searches for nothing. */
export const searchSchema = z.object({
  q: text(100).catch(''),
  archived: z.enum(['yes', '']).catch(''),
  page: z.coerce.number().int().min(1).max(100_000).catch(1),
})
export type RegisterSearch = z.infer<typeof searchSchema>
