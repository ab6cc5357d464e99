import 'server-only'
import * as z from 'zod'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { asDay } from '../frame/days'
import {
  type FrozenBuyer,
  type FrozenSeller,
  type PaperStyle,
  readFrozenBuyer,
  readFrozenSeller,
} from './frozen-parties'
import type { PaymentFact } from './payment-state'
import { type PostalAddress, streetLinesOf } from './postal-address'
import type { MoneyDocument } from './projection'
import { readTaxCategory, TAX_CATEGORIES, type TaxTreatment } from './tax'
import { storedTaxParts } from './tax-parts'
import { taxGroupKey } from './totals'

/** All that a document needs to be shown or issued. */
export const INVOICE_INCLUDE = {
  business: true,
  client: {
    include: {
      // Where a client gave no billing address: the first of its own sites.
      sitesAsClient: {
        where: { archivedAt: null, mergedIntoId: null },
        orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
      },
    },
  },
  correctsInvoice: { select: { id: true, number: true, issuedOn: true } },
  invoiceLines: { orderBy: [{ position: 'asc' }, { id: 'asc' }] },
  // What a corrected payment settled counts no more.
  allocations: {
    where: { OR: [{ paymentId: null }, { payment: { correctedBy: null } }] },
    include: { payment: true },
    orderBy: { id: 'asc' },
  },
  creditNotes: { where: { state: 'issued' }, orderBy: [{ issuedOn: 'asc' }, { number: 'asc' }] },
} as const satisfies Prisma.InvoiceInclude

export type StoredInvoice = Prisma.InvoiceGetPayload<{ include: typeof INVOICE_INCLUDE }>

/** One invoice, credit note or draft with all that is printed on it; null when this actor sees none by that id. */
export function readInvoice(tx: Transaction, businessId: string, invoiceId: string): Promise<StoredInvoice | null> {
  return tx.invoice.findFirst({ where: { businessId, id: invoiceId }, include: INVOICE_INCLUDE })
}

/** Countries that print on Letter (CLDR, supplemental paper sizes; from memory). */
const LETTER = new Set(['US', 'CA', 'MX', 'CL', 'CO', 'CR', 'GT', 'NI', 'PA', 'PH', 'PR', 'SV', 'VE'])

/** The business as an invoice of today names it. */
export function sellerOf({ business }: Pick<StoredInvoice, 'business'>): FrozenSeller {
  const { name, legalName, country, logoSha256, logoWidthPx, logoHeightPx } = business
  const isLogo = logoSha256 !== null && logoWidthPx !== null && logoHeightPx !== null
  return {
    edition: 2,
    ...namesOf(legalName, name),
    address: addressOf(business),
    taxNumber: business.taxNumber,
    companyNumber: business.companyNumber,
    email: business.email,
    phone: business.phone,
    endpoint: business.endpoint,
    accountName: business.accountName,
    iban: business.iban,
    bic: business.bic,
    sortCode: business.sortCode,
    accountNumber: business.accountNumber,
    routingNumber: business.routingNumber,
    footer: business.paperFooter,
    logo: isLogo ? { sha256: logoSha256, widthPx: logoWidthPx, heightPx: logoHeightPx } : null,
    style: { locale: business.locale, pageSize: LETTER.has(country.toUpperCase()) ? 'LETTER' : 'A4' },
  }
}

/** The client as an invoice of today names it. */
export function buyerOf({ client }: Pick<StoredInvoice, 'client'>): FrozenBuyer {
  const site = client.sitesAsClient[0]
  const isBilled = client.billingAddress !== '' || client.billingCity !== ''
  return {
    edition: 2,
    // What we call a client is no name of theirs: beside the one for invoices there is none.
    name: client.billingName || client.name,
    tradingName: '',
    address: isBilled || !site ? billingAddressOf(client) : addressOf(site),
    taxNumber: client.taxNumber,
    companyNumber: client.companyNumber,
    email: client.email,
    phone: client.phone,
    endpoint: client.endpoint,
    reference: client.buyerReference,
  }
}

/** A legal name and what it is called beside it. */
function namesOf(legalName: string, name: string) {
  const isSame = legalName === '' || legalName.toLowerCase().startsWith(name.toLowerCase())
  return { name: legalName || name, tradingName: isSame ? '' : name }
}

type AddressColumns = { address: string; city: string; region: string; postcode: string; country: string }

function addressOf({ address, city, region, postcode, country }: AddressColumns): PostalAddress {
  return { streetLines: streetLinesOf(address), place: city, region, postcode, country: country.toUpperCase() }
}

function billingAddressOf(client: StoredInvoice['client']): PostalAddress {
  const { billingAddress: address, billingCity: city, billingRegion: region } = client
  return addressOf({ address, city, region, postcode: client.billingPostcode, country: client.billingCountry })
}

type StoredTax = Pick<
  StoredInvoice['invoiceLines'][number],
  'taxCategory' | 'taxRate' | 'taxExemptionReason' | 'taxParts'
>

/** The tax of a stored line. */
export function taxOfLine(line: StoredTax): TaxTreatment {
  return {
    category: readTaxCategory(line.taxCategory),
    ratePercent: line.taxCategory === 'O' ? null : line.taxRate.toFixed(),
    exemptionReason: line.taxExemptionReason,
    parts: storedTaxParts(line.taxParts),
  }
}

/**
 * A stored row as the document it is. An issued one speaks from what was frozen; a draft from what is known today.
 * `standing` adds payments and credit notes, which come later and change nothing of what was issued.
 */
export function documentOf(
  row: StoredInvoice,
  today: string,
  { standing }: { standing: boolean },
): { document: MoneyDocument; style: PaperStyle } {
  const issued = row.state === 'issued'
  const seller = issued ? readFrozenSeller(row.seller) : sellerOf(row)
  const { correctsInvoice } = row
  const document: MoneyDocument = {
    documentType: row.documentType === 'credit_note' ? 'credit_note' : 'invoice',
    number: row.number,
    issuedOn: row.issuedOn ? asDay(row.issuedOn) : today,
    dueOn: asDay(row.dueOn),
    serviceStart: asDay(row.serviceStart),
    serviceEnd: asDay(row.serviceEnd),
    currency: row.currency,
    purchaseOrder: row.purchaseOrder,
    note: row.note,
    seller,
    buyer: issued ? readFrozenBuyer(row.buyer) : buyerOf(row),
    credits: correctsInvoice
      ? {
          number: correctsInvoice.number ?? '',
          issuedOn: correctsInvoice.issuedOn ? asDay(correctsInvoice.issuedOn) : today,
        }
      : null,
    lines: storedLines(row),
    ...(row.documentType === 'credit_note' ? { taxes: storedTaxes(row.taxBreakdown) } : {}),
    payments: standing ? paymentsOf(row) : [],
    credited: standing ? creditsOf(row) : [],
  }
  return { document, style: seller.style }
}

/** The lines of a stored document, as they are shown and reckoned with. */
export function storedLines(row: Pick<StoredInvoice, 'invoiceLines'>) {
  return row.invoiceLines.map((line) => ({
    description: line.description,
    placeName: line.placeName,
    quantity: line.quantity.toFixed(),
    unit: line.unit,
    unitPrice: line.unitPrice.toFixed(),
    serviceStart: line.serviceStart ? asDay(line.serviceStart) : '',
    serviceEnd: line.serviceEnd ? asDay(line.serviceEnd) : '',
    tax: taxOfLine(line),
  }))
}

const taxGroupList = z.array(
  z.object({
    category: z.enum(TAX_CATEGORIES),
    name: z.string().optional(),
    ratePercent: z.string(),
    taxableMinor: z.int(),
    taxMinor: z.int(),
  }),
)

/** The tax groups of a document as they were stored with it. */
export const storedTaxGroups = (breakdown: Prisma.JsonValue) => taxGroupList.parse(breakdown)

const storedTaxes = (breakdown: Prisma.JsonValue) =>
  new Map(storedTaxGroups(breakdown).map((group) => [taxGroupKey(group), group.taxMinor]))

/** What settled it and stands, oldest first. */
export function paymentsOf(row: Pick<StoredInvoice, 'allocations'>): PaymentFact[] {
  return row.allocations
    .map(({ amountMinor, payment, movedOn }) => ({
      amountMinor,
      receivedOn: asDay(payment?.receivedOn ?? movedOn) ?? '',
      isMoved: payment === null,
    }))
    .sort((a, b) => (a.receivedOn < b.receivedOn ? -1 : a.receivedOn > b.receivedOn ? 1 : 0))
}

export function creditsOf(row: Pick<StoredInvoice, 'creditNotes'>) {
  return row.creditNotes.map(({ number, grossMinor }) => ({ number: number ?? '', amountMinor: grossMinor }))
}
