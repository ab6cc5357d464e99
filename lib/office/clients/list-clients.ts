import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { type Actor, inBusiness } from '../frame/actor'
import type { RegisterSearch } from './schema'
import { patternWords } from './search-words'

const CLIENTS_PER_PAGE = 50

export type ClientRow = {
  id: string
  name: string
  email: string
  phone: string
  sites: number
  tanks: number
  isArchived: boolean
}
export type ClientList = { rows: ClientRow[]; total: number; page: number; pages: number }

/** Clients whose name, e-mail, address or sites hold every word, by name and id, fifty a page. */
export function listClients(actor: Actor, search: RegisterSearch): Promise<ClientList> {
  const where = whereOf(actor.businessId, search)
  return inBusiness(actor, async (tx) => {
    const total = await tx.client.count({ where })
    const pages = Math.max(1, Math.ceil(total / CLIENTS_PER_PAGE))
    const page = Math.min(search.page, pages)
    const inUse = { where: { archivedAt: null, mergedIntoId: null } }
    const clients = await tx.client.findMany({
      where,
      select: {
        id: true,
        name: true,
        email: true,
        phone: true,
        archivedAt: true,
        _count: { select: { sitesAsClient: inUse, tanks: inUse } },
      },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
      skip: (page - 1) * CLIENTS_PER_PAGE,
      take: CLIENTS_PER_PAGE,
    })
    const rows = clients.map(({ archivedAt, _count, ...client }) => ({
      ...client,
      sites: _count.sitesAsClient,
      tanks: _count.tanks,
      isArchived: archivedAt !== null,
    }))
    return { rows, total, page, pages }
  })
}

function whereOf(businessId: string, search: RegisterSearch): Prisma.ClientWhereInput {
  return {
    businessId,
    mergedIntoId: null,
    archivedAt: search.archived === 'yes' ? { not: null } : null,
    AND: patternWords(search.q).map((word) => {
      const holds = { contains: word, mode: 'insensitive' } as const
      const place = { OR: [{ name: holds }, { address: holds }, { city: holds }, { postcode: holds }] }
      return {
        OR: [
          { name: holds },
          { email: holds },
          { billingAddress: holds },
          { billingCity: holds },
          { sitesAsClient: { some: place } },
        ],
      }
    }),
  }
}
