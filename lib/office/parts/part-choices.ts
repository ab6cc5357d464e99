import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { careTasks, findClass } from '@/lib/trade'
import { type Actor, inBusiness } from '../frame/actor'

type Choice = { value: string; label: string }

/** Up to so many devices are offered in one list; of more somebody says a part of the name. */
const DEVICES_OFFERED = 200

/** What the form of a part offers: suppliers and prices. */
export type PartChoices = { suppliers: Choice[]; prices: Choice[] }

/** With `partId` also the supplier and the price it has, though they are off the list: saving the form must not lose them. */
export async function partChoicesIn(tx: Transaction, businessId: string, partId?: string): Promise<PartChoices> {
  const inUse = { OR: [{ archivedAt: null }, ...(partId ? [{ parts: { some: { id: partId } } }] : [])] }
  const suppliers = await tx.supplier.findMany({
    where: { businessId, ...inUse },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
    select: { id: true, name: true },
  })
  const prices = await tx.priceItem.findMany({
    where: { businessId, kind: { in: ['part', 'animal'] }, ...inUse },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
    select: { id: true, name: true },
  })
  return {
    suppliers: suppliers.map(({ id, name }) => ({ value: id, label: name })),
    prices: prices.map(({ id, name }) => ({ value: id, label: name })),
  }
}

/** The same for the form of a new part, with the currency it is priced in. */
export function partChoices(actor: Actor): Promise<PartChoices & { currency: string }> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const { currency } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { currency: true } })
    return { ...(await partChoicesIn(tx, businessId)), currency }
  })
}

/** Every kind of work that may use a part, by kind of device. */
export function workChoices(): Choice[] {
  return careTasks
    .map(({ slug, name, equipmentClass }) => ({
      value: slug,
      label: `${findClass(equipmentClass)?.name ?? equipmentClass}: ${name}`,
    }))
    .sort((a, b) => (a.label < b.label ? -1 : 1))
}

/**
 * Devices in service of which it can be said that their work uses a part: all of a small business; of a large one those in whose name, tank's or
 * site's name `search` stands, and none before it is asked. `areMore`: more fit than are offered.
 */
export async function deviceChoicesIn(
  tx: Transaction,
  businessId: string,
  search: string,
): Promise<{ devices: Choice[]; areMore: boolean }> {
  const contains = { contains: search, mode: 'insensitive' as const }
  const named = { OR: [{ label: contains }, { tank: { name: contains } }, { tank: { site: { name: contains } } }] }
  const found = await tx.equipment.findMany({
    where: {
      ...{ businessId, removedOn: null, tank: { archivedAt: null, mergedIntoId: null } },
      ...(search === '' ? {} : named),
    },
    orderBy: { id: 'asc' },
    select: {
      ...{ id: true, label: true, equipmentClass: true },
      tank: { select: { name: true, site: { select: { name: true } } } },
    },
    take: DEVICES_OFFERED + 1,
  })
  const areMore = found.length > DEVICES_OFFERED
  const offered = areMore ? (search === '' ? [] : found.slice(0, DEVICES_OFFERED)) : found
  const place = ({ equipmentClass, tank }: (typeof found)[number]) => `${equipmentClass} ${tank.name}`
  return {
    areMore,
    devices: offered
      .sort((a, b) => (place(a) < place(b) ? -1 : place(a) > place(b) ? 1 : 0))
      .map(({ id, label, tank }) => ({ value: id, label: `${label}, ${tank.name}, ${tank.site.name}` })),
  }
}
