/**
 * What the office types about clients and sites; the same on the screen and on the server. Figures stay as they were
 * typed, so that nothing is lost when something is refused; the commands read them.
 */
import { z } from 'zod'

/** What every form carries: the command's own id, which becomes the id of what it makes, and the business it was filled in for. */
export const commandFields = { commandId: z.uuid(), businessId: z.uuid() }

const line = (max = 200) => z.string().trim().max(max, `Keep it under ${max} characters.`)
export const shortText = line()
export const longText = line(4000)
export const optionalId = z.union([z.uuid(), z.literal('')])
export const isoDate = z.iso.date('Choose a day.')
export const optionalIsoDate = z.union([isoDate, z.literal('')])
const email = z.union([z.email('This does not look like an e-mail address.').max(200), z.literal('')])
const country = z
  .string()
  .trim()
  .refine((code) => code === '' || /^[A-Za-z]{2}$/.test(code), 'Two letters, such as GB.')

/** A whole number as typed, within bounds; blank where that is allowed. */
export function wholeNumberText(least: number, most: number, words: string, mayBeBlank = false) {
  return z
    .string()
    .trim()
    .refine((text) => {
      if (text === '') return mayBeBlank
      return /^\d{1,9}$/.test(text) && Number(text) >= least && Number(text) <= most
    }, words)
}

const clientFields = {
  name: line().min(1, 'Who pays? Give a name.'),
  email,
  phone: line(60),
  billingName: line(),
  billingAddress: line(500),
  billingPostcode: line(30),
  billingCity: line(120),
  billingCountry: country,
  taxNumber: line(40),
  paymentTermsDays: wholeNumberText(
    0,
    365,
    'Days to pay: a whole number from 0 to 365, or blank for the usual terms.',
    true,
  ),
  purchaseOrderNeeded: z.boolean(),
  purchaseOrder: line(60),
  note: longText,
}
export const addClientSchema = z.object({ ...commandFields, ...clientFields })
export const editClientSchema = z.object({ ...commandFields, clientId: z.uuid(), ...clientFields })
export type AddClientInput = z.infer<typeof addClientSchema>
export type EditClientInput = z.infer<typeof editClientSchema>
export type ClientFields = Omit<AddClientInput, 'commandId' | 'businessId'>

export const EMPTY_CLIENT: ClientFields = {
  name: '',
  email: '',
  phone: '',
  billingName: '',
  billingAddress: '',
  billingPostcode: '',
  billingCity: '',
  billingCountry: '',
  taxNumber: '',
  paymentTermsDays: '',
  purchaseOrderNeeded: false,
  purchaseOrder: '',
  note: '',
}

/** When we may come in. Weekdays by ISO 8601: Monday is 1, Sunday 7; times are the site's own. */
export const accessWindowSchema = z
  .object({
    weekdays: z.array(z.enum(['1', '2', '3', '4', '5', '6', '7'])).min(1, 'On which days?'),
    from: z.iso.time({ precision: -1, error: 'A time such as 08:00.' }),
    to: z.iso.time({ precision: -1, error: 'A time such as 17:00.' }),
  })
  .refine((window) => window.from < window.to, { path: ['to'], message: 'This must be later than the start.' })
export type AccessWindow = z.infer<typeof accessWindowSchema>

export const siteContactSchema = z.object({
  name: line().min(1, 'Give the contact a name, or take the line out.'),
  role: line(120),
  phone: line(60),
  email,
})
export type SiteContactFields = z.infer<typeof siteContactSchema>

const coordinate = (most: number) =>
  z
    .string()
    .trim()
    .refine(
      (text) => text === '' || (/^-?\d{1,3}(\.\d{1,10})?$/.test(text) && Math.abs(Number(text)) <= most),
      `Degrees with a decimal point, from -${most} to ${most}.`,
    )

const siteFields = {
  clientId: z.uuid('Whose site is it?'),
  payerClientId: optionalId,
  name: line().min(1, 'Give the site a name.'),
  address: line(500),
  postcode: line(30),
  city: line(120),
  country,
  latitude: coordinate(90),
  longitude: coordinate(180),
  accessNote: longText,
  accessWindows: z.array(accessWindowSchema).max(20),
  purchaseOrder: line(60),
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
export type EditSiteInput = z.infer<typeof editSiteSchema>
export type SiteFields = Omit<AddSiteInput, 'commandId' | 'businessId'>

export const EMPTY_SITE: Omit<SiteFields, 'clientId'> = {
  payerClientId: '',
  name: '',
  address: '',
  postcode: '',
  city: '',
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
  q: z.string().trim().max(100).catch(''),
  archived: z.enum(['yes', '']).catch(''),
  page: z.coerce.number().int().min(1).max(100_000).catch(1),
})
export type RegisterSearch = z.infer<typeof searchSchema>
