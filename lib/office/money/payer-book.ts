import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import type { Payer } from './draft-lines'
import { type DecimalInput, readTaxCategory, type TaxCategory } from './tax'

type StoredTax = { category: TaxCategory; ratePercent: DecimalInput }

/** Who pays for a tank's work, how the place is called, on whose order and with what tax. */
export type BilledPlace = {
  payerId: string
  placeName: string
  purchaseOrder: string | null
  tax: StoredTax | null
  /** The tax is the payer's own, whatever the price list says. */
  payersOwnTax: boolean
}

export type PayerBook = {
  payers: Payer[]
  /** `clientId` is the client on the row: the site's other payer pays only for the site's present client. */
  placeOf: (tankId: string, clientId: string) => BilledPlace
}

type BusinessTax = { id: string; defaultTaxCategory: string; defaultTaxRate: Prisma.Decimal }

/** Clients, sites and tanks of a business as far as billing asks. Merged ones answer for the one they became. */
export async function readPayerBook(tx: Transaction, business: BusinessTax): Promise<PayerBook> {
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
    where,
    select: {
      id: true,
      name: true,
      clientId: true,
      payerClientId: true,
      mergedIntoId: true,
      sitePrivate: { select: { purchaseOrder: true } },
    },
  })
  const tanks = await tx.tank.findMany({ where, select: { id: true, name: true, siteId: true, mergedIntoId: true } })
  const client = survivors(clients)
  const site = survivors(sites)
  const tank = survivors(tanks)

  const placeOf = (tankId: string, clientId: string): BilledPlace => {
    const ofTank = tank(tankId)
    const ofSite = site(ofTank.siteId)
    const holder = client(clientId)
    const present = client(ofSite.clientId).id === holder.id
    const payer = present && ofSite.payerClientId !== null ? client(ofSite.payerClientId) : holder
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
          },
      payersOwnTax: Boolean(own),
    }
  }
  const payers = clients
    .filter((row) => row.mergedIntoId === null)
    .map(({ id, name, purchaseOrderNeeded }) => ({ id, name, needsPurchaseOrder: purchaseOrderNeeded }))
  return { payers, placeOf }
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
