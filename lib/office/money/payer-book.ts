import 'server-only'
import type { Prisma, SitePayer } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { asDay, SINCE_ALWAYS } from '../frame/days'
import type { Payer } from './draft-pieces'
import { type PayerDecision, payerOn } from './payer-on'
import { type DecimalInput, readTaxCategory, type TaxCategory, type TaxPart } from './tax'
import { storedTaxParts } from './tax-parts'

type StoredTax = { category: TaxCategory; ratePercent: DecimalInput; parts?: readonly TaxPart[] }

/** Who pays for a tank's work, how the place is called, on whose order and with what tax. */
export type BilledPlace = {
  payerId: string
  placeName: string
  /** Of the site, else of the payer. */
  purchaseOrder: string | null
  tax: StoredTax | null
  /** The tax is the payer's own, whatever the price list says. */
  payersOwnTax: boolean
}

export type PayerBook = {
  payers: Payer[]
  /** Who pays for what was done at a tank on a day; `clientId` is the client on the row. */
  payerOn: (tankId: string, clientId: string, day: string) => string
  /** How this payer is billed for what was done there for that client. */
  placeOf: (tankId: string, clientId: string, payerId: string) => BilledPlace
  /** Whom a client was merged into, else the client itself. */
  survivorOf: (clientId: string) => string
}

type BusinessTax = {
  id: string
  defaultTaxCategory: string
  defaultTaxRate: Prisma.Decimal
  defaultTaxParts: Prisma.JsonValue
}

/**
 * Clients, sites and tanks of a business as far as billing asks, at all sites or only at these. Merged ones answer for the one they became, so
 * what these were merged into must be among them.
 */
export async function readPayerBook(
  tx: Transaction,
  business: BusinessTax,
  siteIds: readonly string[] | null = null,
): Promise<PayerBook> {
  const where = { businessId: business.id }
  const clients = await tx.client.findMany({
    where,
    select: {
      id: true,
      name: true,
      mergedIntoId: true,
      purchaseOrderNeeded: true,
      purchaseOrder: true,
      clientPrivate: { select: { taxCategory: true, taxRate: true } },
    },
  })
  const sites = await tx.site.findMany({
    where: siteIds === null ? where : { ...where, id: { in: [...siteIds] } },
    select: {
      id: true,
      name: true,
      clientId: true,
      payerClientId: true,
      mergedIntoId: true,
      sitePrivate: { select: { purchaseOrder: true } },
      tanks: { select: { id: true, name: true, siteId: true, mergedIntoId: true } },
      sitePayers: { orderBy: [{ madeAt: 'asc' }, { id: 'asc' }] },
    },
  })
  const tanks = sites.flatMap((row) => row.tanks)
  const decisions = new Map(
    sites.flatMap((row) => (row.sitePayers.length > 0 ? [[row.id, row.sitePayers.map(decisionOf)] as const] : [])),
  )
  const client = survivors(clients)
  const site = survivors(sites)
  const tank = survivors(tanks)

  const survivorOf = (clientId: string) => client(clientId).id
  const sameClient = (first: string, second: string) => survivorOf(first) === survivorOf(second)
  const payerOf = (tankId: string, clientId: string, day: string) => {
    const at = site(tank(tankId).siteId)
    const today = {
      since: SINCE_ALWAYS,
      madeAt: '',
      id: '',
      clientId: at.clientId,
      payerId: at.payerClientId ?? at.clientId,
    }
    return survivorOf(payerOn(decisions.get(at.id) ?? [today], day, clientId, sameClient))
  }

  const placeOf = (tankId: string, clientId: string, payerId: string): BilledPlace => {
    const ofTank = tank(tankId)
    const ofSite = site(ofTank.siteId)
    const present = sameClient(ofSite.clientId, clientId)
    const payer = client(payerId)
    const own = payer.clientPrivate?.taxCategory
    return {
      payerId: payer.id,
      placeName: ofTank.name === ofSite.name ? ofTank.name : `${ofTank.name}, ${ofSite.name}`,
      purchaseOrder: (present && ofSite.sitePrivate?.purchaseOrder) || payer.purchaseOrder || null,
      tax: own
        ? { category: readTaxCategory(own), ratePercent: (payer.clientPrivate?.taxRate ?? 0).toString() }
        : {
            category: readTaxCategory(business.defaultTaxCategory),
            ratePercent: business.defaultTaxRate.toFixed(),
            parts: storedTaxParts(business.defaultTaxParts),
          },
      payersOwnTax: Boolean(own),
    }
  }
  const payers = clients
    .filter((row) => row.mergedIntoId === null)
    .map(({ id, name, purchaseOrderNeeded }) => ({ id, name, needsPurchaseOrder: purchaseOrderNeeded }))
  return { payers, payerOn: payerOf, placeOf, survivorOf }
}

/** What was decided of a site's payer; a site without any has had the payer of today. */
function decisionOf({ id, clientId, payerClientId, since, madeAt }: SitePayer): PayerDecision {
  return { id, clientId, payerId: payerClientId, since: asDay(since), madeAt: madeAt.toISOString() }
}

function survivors<Row extends { id: string; mergedIntoId: string | null }>(rows: readonly Row[]): (id: string) => Row {
  const byId = new Map(rows.map((row) => [row.id, row]))
  return (id) => {
    let row = byId.get(id)
    // A merge always points at what was kept then; that may have been merged later.
    for (let steps = 0; row && row.mergedIntoId !== null && steps < rows.length; steps += 1)
      row = byId.get(row.mergedIntoId)
    if (!row) throw new Error(`no such row of this business: ${id}`)
    return row
  }
}
