import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../frame/actor'
import { accessWindowWords, readAccessWindows } from './access-windows'
import { type Choice, clientChoices } from './choices'
import type { SiteFields } from './schema'

export type SitePage = {
  id: string
  businessId: string
  isArchived: boolean
  mergedIntoId: string | null
  clientName: string
  payerName: string | null
  /** As the form shows them. */
  fields: SiteFields
  /** Access windows in words. */
  windows: string[]
  tanks: { id: string; name: string; clientName: string; isArchived: boolean }[]
}

/** All that the page of a site shows; null where it is not there. */
export function findSite(actor: Actor, siteId: string): Promise<SitePage | null> {
  return inBusiness(actor, (tx) => readSite(tx, actor.businessId, siteId))
}

/** The same with the clients to choose from, for its form. */
export function findSiteForm(actor: Actor, siteId: string): Promise<(SitePage & { clients: Choice[] }) | null> {
  return inBusiness(actor, async (tx) => {
    const site = await readSite(tx, actor.businessId, siteId)
    return site && { ...site, clients: await clientChoices(tx, actor.businessId) }
  })
}

async function readSite(tx: Transaction, businessId: string, siteId: string): Promise<SitePage | null> {
  const site = await tx.site.findUnique({
    where: { businessId_id: { businessId, id: siteId } },
    include: {
      client: { select: { name: true } },
      payerClient: { select: { name: true } },
      sitePrivate: true,
      siteContacts: { orderBy: { id: 'asc' } },
      tanks: {
        where: { mergedIntoId: null },
        select: { id: true, name: true, archivedAt: true, client: { select: { name: true } } },
        orderBy: [{ name: 'asc' }, { id: 'asc' }],
      },
    },
  })
  if (!site) return null
  const windows = readAccessWindows(site.sitePrivate?.accessWindows)
  return {
    windows: windows.map(accessWindowWords),
    id: site.id,
    businessId,
    isArchived: site.archivedAt !== null,
    mergedIntoId: site.mergedIntoId,
    clientName: site.client.name,
    payerName: site.payerClient?.name ?? null,
    fields: {
      clientId: site.clientId,
      payerClientId: site.payerClientId ?? '',
      payerSince: '',
      name: site.name,
      address: site.address,
      postcode: site.postcode,
      region: site.region,
      city: site.city,
      country: site.country,
      latitude: site.latitude === null ? '' : String(site.latitude),
      longitude: site.longitude === null ? '' : String(site.longitude),
      accessNote: site.sitePrivate?.accessNote ?? '',
      accessWindows: windows,
      purchaseOrder: site.sitePrivate?.purchaseOrder ?? '',
      contacts: site.siteContacts.map(({ name, role, phone, email }) => ({ name, role, phone, email })),
    },
    tanks: site.tanks.map(({ archivedAt, client, ...tank }) => ({
      ...tank,
      clientName: client.name,
      isArchived: archivedAt !== null,
    })),
  }
}
