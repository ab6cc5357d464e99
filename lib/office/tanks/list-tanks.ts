import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../actor'
import { asDay, asDbDate, dayIn } from '../clients/days'
import type { RegisterSearch } from '../clients/schema'
import { searchWords } from '../clients/search-words'
import { kindWords } from './kind-words'
import { asVolumeUnit, VOLUME_UNIT_WORDS, volumeIn } from './typed-figures'

export const TANKS_PER_PAGE = 50

export type TankRow = {
  id: string
  name: string
  siteName: string
  city: string
  clientName: string
  clientId: string
  kind: string
  volume: string
  isArchived: boolean
  lastVisitOn: string | null
  nextVisitOn: string | null
}
export type TankList = { rows: TankRow[]; total: number; page: number; pages: number; locale: string }

/**
 * Tanks whose name, client, site or address hold every word, by site, name and id, fifty a page.
 * A plain filter: the words are looked for in every row (tests/bench/register-search.ts says what that costs).
 */
export function listTanks(actor: Actor, search: RegisterSearch): Promise<TankList> {
  const where = whereOf(actor.businessId, search)
  return inBusiness(actor, async (tx) => {
    const total = await tx.tank.count({ where })
    const pages = Math.max(1, Math.ceil(total / TANKS_PER_PAGE))
    const page = Math.min(search.page, pages)
    const business = await tx.business.findUniqueOrThrow({
      where: { id: actor.businessId },
      select: { timeZone: true, volumeUnit: true, locale: true },
    })
    const tanks = await tx.tank.findMany({
      where,
      select: {
        id: true,
        name: true,
        profile: true,
        volumeL: true,
        archivedAt: true,
        site: { select: { name: true, city: true } },
        client: { select: { id: true, name: true } },
      },
      orderBy: [{ site: { name: 'asc' } }, { name: 'asc' }, { id: 'asc' }],
      skip: (page - 1) * TANKS_PER_PAGE,
      take: TANKS_PER_PAGE,
    })
    const ids = tanks.map((tank) => tank.id)
    const visits = await visitDays(tx, actor.businessId, ids, dayIn(business.timeZone, new Date()))
    const unit = asVolumeUnit(business.volumeUnit)
    const rows = tanks.map((tank) => ({
      id: tank.id,
      name: tank.name,
      siteName: tank.site.name,
      city: tank.site.city,
      clientName: tank.client.name,
      clientId: tank.client.id,
      kind: kindWords(tank.profile),
      volume: `${volumeIn(unit, tank.volumeL.toNumber())} ${VOLUME_UNIT_WORDS[unit]}`,
      isArchived: tank.archivedAt !== null,
      lastVisitOn: visits.last.get(tank.id) ?? null,
      nextVisitOn: visits.next.get(tank.id) ?? null,
    }))
    return { rows, total, page, pages, locale: business.locale }
  })
}

function whereOf(businessId: string, search: RegisterSearch): Prisma.TankWhereInput {
  return {
    businessId,
    mergedIntoId: null,
    archivedAt: search.archived === 'yes' ? { not: null } : null,
    AND: searchWords(search.q).map((word) => {
      const holds = { contains: word, mode: 'insensitive' } as const
      return {
        OR: [
          { name: holds },
          { client: { name: holds } },
          { site: { OR: [{ name: holds }, { address: holds }, { city: holds }, { postcode: holds }] } },
        ],
      }
    }),
  }
}

async function visitDays(tx: Transaction, businessId: string, tankIds: string[], today: string) {
  const last = await tx.visit.groupBy({
    by: ['tankId'],
    where: { businessId, tankId: { in: tankIds }, state: 'done' },
    _max: { localDate: true },
  })
  const next = await tx.visit.groupBy({
    by: ['tankId'],
    where: { businessId, tankId: { in: tankIds }, state: 'booked', localDate: { gte: asDbDate(today) } },
    _min: { localDate: true },
  })
  return {
    last: new Map(last.map((row) => [row.tankId, asDay(row._max.localDate)])),
    next: new Map(next.map((row) => [row.tankId, asDay(row._min.localDate)])),
  }
}
