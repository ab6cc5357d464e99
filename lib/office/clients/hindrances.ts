import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { asDay } from '../frame/days'
import { readOpenInvoices } from '../money/ledger'

const NAMED_AT_MOST = 5

/** At most five names, and how many more. */
export function nameSome(names: readonly string[], count = names.length): string {
  const shown = names.slice(0, NAMED_AT_MOST)
  return count > shown.length ? `${shown.join(', ')} and ${count - shown.length} more` : shown.join(', ')
}

/** What stands in the way of archiving a client, each as half a sentence; empty where nothing does. */
export async function clientHindrances(tx: Transaction, businessId: string, clientId: string): Promise<string[]> {
  const family = await clientFamily(tx, businessId, clientId)
  const [invoices, visits, tanks, payingFor] = [
    await openInvoices(tx, businessId, family),
    await bookedVisits(tx, businessId, { clientId: { in: family } }),
    await tx.tank.findMany({
      where: { businessId, clientId: { in: family }, archivedAt: null, mergedIntoId: null },
      select: { name: true, site: { select: { name: true } } },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    }),
    await tx.site.findMany({
      where: { businessId, payerClientId: { in: family }, archivedAt: null, mergedIntoId: null },
      select: { name: true },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    }),
  ]
  const hindrances: string[] = []
  if (invoices.length > 0) hindrances.push(`open or draft invoices: ${nameSome(invoices)}`)
  if (visits.length > 0) hindrances.push(`booked visits: ${nameSome(visits)}`)
  if (tanks.length > 0)
    hindrances.push(`tanks in care: ${nameSome(tanks.map((tank) => `${tank.name}, ${tank.site.name}`))}`)
  if (payingFor.length > 0) hindrances.push(`it pays for ${nameSome(payingFor.map((site) => site.name))}`)
  return hindrances
}

/** Booked or running visits, as "Hall on 2026-11-26". */
export async function bookedVisits(
  tx: Transaction,
  businessId: string,
  of: { clientId?: { in: string[] }; tankId?: { in: string[] }; siteId?: { in: string[] }; localDate?: { gte: Date } },
): Promise<string[]> {
  const visits = await tx.visit.findMany({
    where: { businessId, state: { in: ['booked', 'under_way'] }, ...of },
    select: { localDate: true, tank: { select: { name: true } } },
    orderBy: [{ localDate: 'asc' }, { id: 'asc' }],
  })
  return visits.map((visit) => `${visit.tank.name} on ${asDay(visit.localDate)}`)
}

/** Drafts, and issued invoices that payments and credit notes have not yet settled, by number. */
async function openInvoices(tx: Transaction, businessId: string, clientIds: string[]): Promise<string[]> {
  const drafts = await tx.invoice.count({
    where: { businessId, clientId: { in: clientIds }, documentType: 'invoice', state: 'draft' },
  })
  const open = (await readOpenInvoices(tx, businessId, clientIds)).filter(
    ({ outstandingMinor }) => outstandingMinor > 0,
  )
  return [...Array.from({ length: drafts }, () => 'a draft'), ...open.map(({ number }) => number)]
}

/** A client and every duplicate merged into it: history stays under the id it was written with. */
export async function clientFamily(tx: Transaction, businessId: string, clientId: string): Promise<string[]> {
  const merged = await tx.client.findMany({
    where: { businessId, mergedIntoId: clientId },
    select: { id: true },
    orderBy: { id: 'asc' },
  })
  return [clientId, ...merged.map((row) => row.id)]
}
