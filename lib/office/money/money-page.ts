import 'server-only'
import { type Actor, inBusiness } from '../frame/actor'
import { dayIn } from '../frame/days'
import { draftsPage } from './draft-list'
import { type InvoiceFilter, listInvoices, sumInvoices } from './invoice-list'
import { monthOf } from './months'
import type { BillingWindow } from './read-charges'
import { unbilledPage } from './unbilled-list'

/** More clients than this are found by their name, not in one list. */
export const CLIENTS_LISTED = 100

type Asked = Partial<Pick<BillingWindow, 'through' | 'since'>> & {
  filter: InvoiceFilter
  search: string
  page: number
  draftPage?: number
  unbilledPage?: number
  /** Part of the name of a client to bill something else to. */
  client?: string
}

/** All of the owner's Money page: a page each of unbilled work, drafts and issued documents, and how it stands. */
export function moneyPage(actor: Actor, asked: Asked, now = new Date()) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const business = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    const { currency, locale, timeZone } = business
    const today = dayIn(timeZone, now)
    const { since, filter, search, page, client = '' } = asked
    const through = asked.through ?? monthOf(today)
    const window = { through, since, isUsual: since === undefined && through === monthOf(today) }
    return {
      ...{ businessId, currency, locale, timeZone, today, through },
      unbilled: await unbilledPage(tx, businessId, { window, page: asked.unbilledPage ?? 1, now }),
      drafts: await draftsPage(tx, business, { today, page: asked.draftPage ?? 1 }),
      sums: await sumInvoices(tx, businessId, currency, today),
      ...(await listInvoices(tx, businessId, { filter, search, today, page })),
      clients: await tx.client.findMany({
        where: {
          businessId,
          archivedAt: null,
          mergedIntoId: null,
          ...(client === '' ? {} : { name: { contains: client, mode: 'insensitive' } }),
        },
        select: { id: true, name: true },
        orderBy: [{ name: 'asc' }, { id: 'asc' }],
        take: CLIENTS_LISTED + 1,
      }),
    }
  })
}
