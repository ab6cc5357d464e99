/**
 * The parties as they are frozen at issuing, and read again. Pure. What stands here is what a later e-invoice will be made of, so each thing has its
 * own place; documents of the first version have an address of one text, which is read as street lines.
 */
import * as z from 'zod'
import { postalAddressSchema, streetLinesOf } from './postal-address'

const style = z.object({ locale: z.string(), pageSize: z.enum(['A4', 'LETTER']) })
export type PaperStyle = z.infer<typeof style>

const party = z.object({
  edition: z.literal(2),
  /** As the paper names the party: its legal name where there is one. */
  name: z.string(),
  /** What it is called beside its legal name; blank where that is the same. */
  tradingName: z.string(),
  address: postalAddressSchema,
  taxNumber: z.string(),
  companyNumber: z.string(),
  email: z.string(),
  phone: z.string(),
  /** Where e-invoices go: scheme (EN 16931's list of electronic address schemes) and id, "0088:5790000435975"; blank: nowhere but the e-mail address. */
  endpoint: z.string(),
})
const logo = z.object({ sha256: z.string(), widthPx: z.number(), heightPx: z.number() })
const seller = party.extend({
  accountName: z.string(),
  iban: z.string(),
  bic: z.string(),
  sortCode: z.string(),
  accountNumber: z.string(),
  routingNumber: z.string(),
  footer: z.string(),
  logo: logo.nullable(),
  style,
})
/** `reference`: the buyer's own sign that it asks for on papers (EN 16931, BT-10). */
const buyer = party.extend({ reference: z.string() })

type Party = Omit<z.infer<typeof party>, 'edition'> & {
  /** 1: issued before there were pieces; its paper keeps its former words. */
  edition: 1 | 2
}
export type FrozenSeller = Party & Omit<z.infer<typeof seller>, 'edition'>
export type FrozenBuyer = Party & Omit<z.infer<typeof buyer>, 'edition'>
export type PaperLogo = z.infer<typeof logo>

/** The first edition: an address of one text, phone and e-mail as lines of another. */
const formerParty = z.object({ name: z.string(), address: z.string(), taxNumber: z.string(), contact: z.string() })
const formerSeller = formerParty.extend({ iban: z.string(), bic: z.string(), accountName: z.string(), style })

function inPieces({ name, address, taxNumber, contact }: z.infer<typeof formerParty>): Party {
  const pieces = { streetLines: streetLinesOf(address), place: '', region: '', postcode: '', country: '' }
  const reached = streetLinesOf(contact)
  const [email = ''] = reached.filter((line) => line.includes('@'))
  const phone = reached.filter((line) => line !== email).join('\n')
  const unknown = { tradingName: '', companyNumber: '', endpoint: '' }
  return { edition: 1, name, address: pieces, taxNumber, email, phone, ...unknown }
}

/** The column `seller` of an issued document. Errors: ZodError where it is neither edition. */
export function readFrozenSeller(column: unknown): FrozenSeller {
  const present = seller.safeParse(column)
  if (present.success) return present.data
  const { style: set, iban, bic, accountName, ...rest } = formerSeller.parse(column)
  const unknown = { sortCode: '', accountNumber: '', routingNumber: '', footer: '', logo: null }
  return { ...inPieces(rest), iban, bic, accountName, ...unknown, style: set }
}

/** The column `buyer` of an issued document. Errors: ZodError where it is neither edition. */
export function readFrozenBuyer(column: unknown): FrozenBuyer {
  const present = buyer.safeParse(column)
  if (present.success) return present.data
  return { ...inPieces(formerParty.parse(column)), reference: '' }
}
