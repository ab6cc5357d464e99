import 'server-only'
import { z } from 'zod'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { asDay } from '../clients/days'
import type { MoneyDocument, MoneyStyle, PartySnapshot, SellerSnapshot } from './projection'
import { readTaxCategory } from './tax'

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
  payments: { where: { correctedBy: null }, orderBy: [{ receivedOn: 'asc' }, { id: 'asc' }] },
  creditNotes: { where: { state: 'issued' }, orderBy: [{ issuedOn: 'asc' }, { number: 'asc' }] },
} as const satisfies Prisma.InvoiceInclude

export type StoredInvoice = Prisma.InvoiceGetPayload<{ include: typeof INVOICE_INCLUDE }>

/** One invoice, credit note or draft with all that is printed on it; null when this actor sees none by that id. */
export function readInvoice(tx: Transaction, businessId: string, invoiceId: string): Promise<StoredInvoice | null> {
  return tx.invoice.findFirst({ where: { businessId, id: invoiceId }, include: INVOICE_INCLUDE })
}

/** What is frozen at issuing, as stored in `seller`: the parties' words, and the language and paper they were set in. */
const style = z.object({ locale: z.string(), pageSize: z.enum(['A4', 'LETTER']) })
const party = z.object({ name: z.string(), address: z.string(), taxNumber: z.string(), contact: z.string() })
const frozenSeller = party.extend({ iban: z.string(), bic: z.string(), accountName: z.string(), style })

export type FrozenSeller = SellerSnapshot & { style: MoneyStyle }

const lines = (...texts: string[]) =>
  texts
    .map((text) => text.trim())
    .filter((text) => text !== '')
    .join('\n')

/** Countries that print on Letter (CLDR, supplemental paper sizes; from memory). */
const LETTER = new Set(['US', 'CA', 'MX', 'CL', 'CO', 'CR', 'GT', 'NI', 'PA', 'PH', 'PR', 'SV', 'VE'])

function countryLine(country: string, home: string, locale: string): string {
  const code = country.toUpperCase()
  if (code === '' || code === home.toUpperCase()) return ''
  return /^[A-Z]{2}$/.test(code) ? (new Intl.DisplayNames(locale, { type: 'region' }).of(code) ?? code) : code
}

/** The business as an invoice of today names it. */
export function sellerOf({ business, client }: StoredInvoice): FrozenSeller {
  const { locale, country } = business
  const abroad = client.billingCountry !== '' && client.billingCountry.toUpperCase() !== country.toUpperCase()
  return {
    name: business.legalName || business.name,
    address: lines(
      business.address,
      `${business.postcode} ${business.city}`,
      abroad ? countryLine(country, '', locale) : '',
    ),
    taxNumber: business.taxNumber,
    contact: lines(business.phone, business.email),
    iban: business.iban,
    bic: business.bic,
    accountName: '',
    style: { locale, pageSize: LETTER.has(country.toUpperCase()) ? 'LETTER' : 'A4' },
  }
}

/** The client as an invoice of today names it. */
export function buyerOf({ business, client }: StoredInvoice): PartySnapshot {
  const site = client.sitesAsClient[0]
  const billed = client.billingAddress !== '' || client.billingCity !== ''
  const address = billed
    ? lines(
        client.billingAddress,
        `${client.billingPostcode} ${client.billingCity}`,
        countryLine(client.billingCountry, business.country, business.locale),
      )
    : lines(site?.address ?? '', `${site?.postcode ?? ''} ${site?.city ?? ''}`)
  return { name: client.billingName || client.name, address, taxNumber: client.taxNumber, contact: '' }
}

/**
 * A stored row as the document it is. An issued one speaks from what was frozen; a draft from what is known today.
 * `standing` adds payments and credit notes, which come later and change nothing of what was issued.
 */
export function documentOf(
  row: StoredInvoice,
  today: string,
  { standing }: { standing: boolean },
): { document: MoneyDocument; style: MoneyStyle } {
  const issued = row.state === 'issued'
  const seller = issued ? frozenSeller.parse(row.seller) : sellerOf(row)
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
    buyer: issued ? party.parse(row.buyer) : buyerOf(row),
    credits: correctsInvoice
      ? {
          number: correctsInvoice.number ?? '',
          issuedOn: correctsInvoice.issuedOn ? asDay(correctsInvoice.issuedOn) : today,
        }
      : null,
    lines: row.invoiceLines.map((line) => ({
      description: line.description,
      placeName: line.placeName,
      quantity: line.quantity.toFixed(),
      unit: line.unit,
      unitPrice: line.unitPrice.toFixed(),
      tax: {
        category: readTaxCategory(line.taxCategory),
        ratePercent: line.taxCategory === 'O' ? null : line.taxRate.toFixed(),
        exemptionReason: line.taxExemptionReason,
      },
    })),
    payments: standing ? paymentsOf(row) : [],
    credited: standing ? creditsOf(row) : [],
  }
  return { document, style: seller.style }
}

/** Payments that stand: corrected rows are out, and so is one corrected to nothing. */
export function paymentsOf(row: Pick<StoredInvoice, 'payments'>) {
  return row.payments
    .filter(({ amountMinor }) => amountMinor !== 0)
    .map(({ amountMinor, receivedOn }) => ({ amountMinor, receivedOn: asDay(receivedOn) }))
}

export function creditsOf(row: Pick<StoredInvoice, 'creditNotes'>) {
  return row.creditNotes.map(({ number, grossMinor }) => ({ number: number ?? '', amountMinor: grossMinor }))
}
