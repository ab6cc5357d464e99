import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay, dayIn } from '../frame/days'
import { type Balance, readBalance, readInvoiceStandings } from '../money/ledger'
import { clientFamily } from './hindrances'
import { CLIENT_TAX, type ClientFields } from './schema'

const INVOICES_MAX = 12

export type ClientPage = {
  id: string
  businessId: string
  locale: string
  currency: string
  isArchived: boolean
  mergedIntoId: string | null
  /** As the form shows them. */
  fields: ClientFields
  sites: {
    id: string
    name: string
    address: string
    isArchived: boolean
    payer: { id: string; name: string } | null
    tanks: { id: string; name: string; isArchived: boolean }[]
  }[]
  /** Sites of other clients that this one pays for. */
  paysFor: { id: string; name: string; client: { id: string; name: string } }[]
  /** Duplicates that were merged into this client. */
  mergedFrom: { id: string; name: string }[]
  /** Tanks this client had and no longer has. */
  formerTanks: { id: string; name: string; since: string; until: string }[]
  visits: number
  /** What is owed and in hand, by currency: the figure of Money and Books. */
  balances: Balance[]
  invoices: {
    id: string
    number: string | null
    documentType: string
    issuedOn: string | null
    dueOn: string | null
    grossMinor: number
    outstandingMinor: number
    currency: string
  }[]
}

/** All that the page of a client shows, its duplicates' history included; null where it is not there. */
export function findClient(actor: Actor, clientId: string, now = new Date()): Promise<ClientPage | null> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const client = await tx.client.findUnique({
      where: { businessId_id: { businessId, id: clientId } },
      include: {
        clientPrivate: { select: { note: true, taxCategory: true } },
        business: { select: { locale: true, currency: true, timeZone: true } },
      },
    })
    if (!client) return null
    const family = await clientFamily(tx, businessId, clientId)
    const mergedFrom = await tx.client.findMany({
      where: { businessId, mergedIntoId: clientId },
      select: { id: true, name: true },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    })
    return {
      id: client.id,
      businessId,
      locale: client.business.locale,
      currency: client.business.currency,
      isArchived: client.archivedAt !== null,
      mergedIntoId: client.mergedIntoId,
      fields: {
        name: client.name,
        email: client.email,
        phone: client.phone,
        billingName: client.billingName,
        billingAddress: client.billingAddress,
        billingPostcode: client.billingPostcode,
        billingCity: client.billingCity,
        billingRegion: client.billingRegion,
        billingCountry: client.billingCountry,
        taxNumber: client.taxNumber,
        taxCategory: CLIENT_TAX.find(({ value }) => value === client.clientPrivate?.taxCategory)?.value ?? '',
        companyNumber: client.companyNumber,
        buyerReference: client.buyerReference,
        endpoint: client.endpoint,
        paymentTermsDays: client.paymentTermsDays === null ? '' : String(client.paymentTermsDays),
        purchaseOrderNeeded: client.purchaseOrderNeeded,
        purchaseOrder: client.purchaseOrder,
        note: client.clientPrivate?.note ?? '',
      },
      mergedFrom,
      ...(await placesOf(tx, businessId, family)),
      visits: await tx.visit.count({ where: { businessId, clientId: { in: family }, state: 'done' } }),
      balances: await readBalance(tx, {
        businessId,
        currency: client.business.currency,
        asAt: dayIn(client.business.timeZone, now),
        clientIds: family,
      }),
      invoices: await invoicesOf(tx, businessId, family),
    }
  })
}

async function placesOf(tx: Transaction, businessId: string, family: string[]) {
  const ofFamily = { businessId, clientId: { in: family } }
  const sites = await tx.site.findMany({
    where: { ...ofFamily, mergedIntoId: null },
    include: {
      payerClient: { select: { id: true, name: true } },
      tanks: {
        where: { mergedIntoId: null },
        select: { id: true, name: true, archivedAt: true },
        orderBy: [{ name: 'asc' }, { id: 'asc' }],
      },
    },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  const paysFor = await tx.site.findMany({
    where: { businessId, payerClientId: { in: family }, mergedIntoId: null },
    select: { id: true, name: true, client: { select: { id: true, name: true } } },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  const former = await tx.tankClient.findMany({
    where: { ...ofFamily, until: { not: null }, tank: { clientId: { notIn: family } } },
    include: { tank: { select: { name: true } } },
    orderBy: [{ until: 'desc' }, { id: 'asc' }],
  })
  return {
    sites: sites.map((site) => ({
      id: site.id,
      name: site.name,
      address: [site.address, site.postcode, site.city].filter((part) => part !== '').join(', '),
      isArchived: site.archivedAt !== null,
      payer: site.payerClient,
      tanks: site.tanks.map(({ archivedAt, ...tank }) => ({ ...tank, isArchived: archivedAt !== null })),
    })),
    paysFor,
    formerTanks: former.map((row) => ({
      id: row.tankId,
      name: row.tank.name,
      since: asDay(row.since),
      until: asDay(row.until) ?? '',
    })),
  }
}

async function invoicesOf(tx: Transaction, businessId: string, family: string[]): Promise<ClientPage['invoices']> {
  const invoices = await tx.invoice.findMany({
    where: { businessId, clientId: { in: family } },
    orderBy: [{ createdAt: 'desc' }, { id: 'desc' }],
    take: INVOICES_MAX,
  })
  const standings = await readInvoiceStandings(
    tx,
    businessId,
    invoices.map(({ id }) => id),
  )
  const standingOf = new Map(standings.map((standing) => [standing.id, standing]))
  return invoices.map((invoice) => ({
    id: invoice.id,
    number: invoice.number,
    documentType: invoice.documentType,
    issuedOn: asDay(invoice.issuedOn),
    dueOn: asDay(invoice.dueOn),
    grossMinor: invoice.documentType === 'credit_note' ? -invoice.grossMinor : invoice.grossMinor,
    outstandingMinor: Math.max(
      0,
      (invoice.documentType === 'invoice' && standingOf.get(invoice.id)?.outstandingMinor) || 0,
    ),
    currency: invoice.currency,
  }))
}
