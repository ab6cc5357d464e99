import 'server-only'
import { type Actor, inBusiness } from '../actor'
import { type Choice, clientChoices } from './choices'
import { type DuplicateGroup, findDuplicates, type MaybeSame } from './duplicates'

/** An entry with what tells two of one name apart. */
export type DuplicateEntry = MaybeSame & { words: string }
export type MergePage = {
  businessId: string
  groups: DuplicateGroup<DuplicateEntry>[]
  /** Everything that can be merged, for pairs that do not look alike. */
  choices: Choice[]
}

const IN_USE = { mergedIntoId: null } as const

/** Clients that look like one. */
export function duplicateClients(actor: Actor): Promise<MergePage> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const clients = await tx.client.findMany({
      where: { businessId, ...IN_USE },
      select: {
        id: true,
        name: true,
        email: true,
        billingAddress: true,
        billingPostcode: true,
        _count: { select: { tanks: true } },
      },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    })
    const entries = clients.map(({ id, name, email, billingAddress, billingPostcode, _count }) => ({
      id,
      name,
      email,
      address: billingAddress === '' ? '' : `${billingAddress} ${billingPostcode}`,
      words: wordsOf([email, billingAddress, counted(_count.tanks, 'tank')]),
    }))
    return { businessId, groups: findDuplicates(entries), choices: await clientChoices(tx, businessId) }
  })
}

/** Sites of one client that look like one; sites of two clients are not compared. */
export function duplicateSites(actor: Actor): Promise<MergePage> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const sites = await tx.site.findMany({
      where: { businessId, ...IN_USE },
      include: { client: { select: { name: true } }, _count: { select: { tanks: true } } },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    })
    const entries = sites.map((site) => ({
      id: site.id,
      name: site.name,
      address: site.address === '' ? '' : `${site.address} ${site.postcode}`,
      words: wordsOf([site.client.name, site.address, site.city, counted(site._count.tanks, 'tank')]),
      groupId: site.clientId,
    }))
    return { businessId, groups: findDuplicatesWithin(entries), choices: choicesOf(entries) }
  })
}

/** Tanks at one site that look like one. */
export function duplicateTanks(actor: Actor): Promise<MergePage> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const tanks = await tx.tank.findMany({
      where: { businessId, ...IN_USE },
      select: {
        id: true,
        name: true,
        siteId: true,
        volumeL: true,
        site: { select: { name: true } },
        _count: { select: { equipments: true, visits: true } },
      },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    })
    const entries = tanks.map((tank) => ({
      id: tank.id,
      name: tank.name,
      words: wordsOf([
        tank.site.name,
        `${tank.volumeL.toNumber()} L`,
        counted(tank._count.equipments, 'device'),
        counted(tank._count.visits, 'visit'),
      ]),
      groupId: tank.siteId,
    }))
    return { businessId, groups: findDuplicatesWithin(entries), choices: choicesOf(entries) }
  })
}

function findDuplicatesWithin(entries: (DuplicateEntry & { groupId: string })[]): DuplicateGroup<DuplicateEntry>[] {
  const parts = new Map<string, DuplicateEntry[]>()
  for (const entry of entries) parts.set(entry.groupId, [...(parts.get(entry.groupId) ?? []), entry])
  return [...parts.values()].flatMap((part) => findDuplicates(part))
}

function choicesOf(entries: readonly DuplicateEntry[]): Choice[] {
  return entries.map(({ id, name, words }) => ({ value: id, label: `${name} (${words})` }))
}

function counted(count: number, thing: string): string {
  return `${count} ${thing}${count === 1 ? '' : 's'}`
}

function wordsOf(parts: readonly string[]): string {
  return parts.filter((part) => part !== '').join(', ')
}
