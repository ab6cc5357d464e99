import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import type { RegisterSearch } from '../clients/schema'
import { searchWords } from '../clients/search-words'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay, asDbDate, dayIn } from '../frame/days'
import { asVolumeUnit, VOLUME_UNIT_WORDS, volumeIn } from '../frame/typed-figures'
import { kindWords } from './kind-words'

const TANKS_PER_PAGE = 50

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
 * Tanks whose name, client, site or address hold every word, by site, name and id, fifty a page; a page past the end
 * shows the first. A plain filter: the words are looked for in every row (tests/bench/register-search.ts says what that
 * costs).
 */
export function listTanks(actor: Actor, search: RegisterSearch): Promise<TankList> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const business = await tx.business.findUniqueOrThrow({
      where: { id: businessId },
      select: { timeZone: true, volumeUnit: true, locale: true },
    })
    const asked = await findIds(tx, businessId, search)
    const isPastEnd = asked.total === 0 && search.page > 1
    const { ids, total } = isPastEnd ? await findIds(tx, businessId, { ...search, page: 1 }) : asked
    const tanks = await tx.tank.findMany({
      where: { businessId, id: { in: ids } },
      select: {
        id: true,
        name: true,
        profile: true,
        volumeL: true,
        archivedAt: true,
        site: { select: { name: true, city: true } },
        client: { select: { id: true, name: true } },
      },
    })
    tanks.sort((a, b) => ids.indexOf(a.id) - ids.indexOf(b.id))
    const visits = await visitDays(tx, businessId, ids, dayIn(business.timeZone, new Date()))
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
    const pages = Math.max(1, Math.ceil(total / TANKS_PER_PAGE))
    return { rows, total, page: isPastEnd ? 1 : search.page, pages, locale: business.locale }
  })
}

/** One page of ids and how many there are in all, in one pass over the tanks. */
async function findIds(tx: Transaction, businessId: string, { q, archived, page }: RegisterSearch) {
  const words = searchWords(q)
  const found = await tx.$queryRaw<{ id: string; total: number }[]>`
    SELECT tank.id, (count(*) OVER ())::int AS total
      FROM tank
      JOIN site ON site.business_id = tank.business_id AND site.id = tank.site_id
      JOIN client ON client.business_id = tank.business_id AND client.id = tank.client_id
     WHERE tank.business_id = ${businessId}::uuid AND tank.merged_into_id IS NULL
       AND (tank.archived_at IS NOT NULL) = ${archived === 'yes'}
       AND (${words.length} = 0 OR NOT EXISTS (SELECT 1 FROM unnest(${words}::text[]) AS word
            WHERE strpos(lower(concat_ws(E'\\n', tank.name, client.name, site.name, site.address, site.postcode, site.city)), lower(word)) = 0))
     ORDER BY site.name, tank.name, tank.id
     LIMIT ${TANKS_PER_PAGE} OFFSET ${(page - 1) * TANKS_PER_PAGE}`
  return { ids: found.map((row) => row.id), total: found[0]?.total ?? 0 }
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
