import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../frame/actor'
import { groupBy } from '../frame/group-by'
import { type Choice, clientChoices, type Narrowed, narrowed } from './choices'
import { type DuplicateGroup, findDuplicates, type MaybeSame } from './duplicates'

/** An entry with what tells two of one name apart. */
export type DuplicateEntry = MaybeSame & { words: string }
export type MergePage = {
  businessId: string
  groups: DuplicateGroup<DuplicateEntry>[]
  /** What can be merged and has the words asked for, for pairs that do not look alike; and how much more there is. */
  choices: Choice[]
  more: number
}
/** Words that narrow the choices, and what is chosen already. */
export type MergeAsked = { search?: string; chosen?: readonly string[] }

/** So many groups are shown; merging some makes room for the others. */
const GROUPS_SHOWN = 50

const IN_USE = { mergedIntoId: null } as const

/** Clients that look like one. */
export function duplicateClients(actor: Actor, { search = '', chosen = [] }: MergeAsked = {}): Promise<MergePage> {
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
    return mergePage(businessId, findDuplicates(entries), narrowed(await clientChoices(tx, businessId), search, chosen))
  })
}

/** Sites of one client that look like one; sites of two clients are not compared. */
export function duplicateSites(actor: Actor, { search = '', chosen = [] }: MergeAsked = {}): Promise<MergePage> {
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
    return mergePage(businessId, findDuplicatesWithin(entries), narrowed(choicesOf(entries), search, chosen))
  })
}

/** Tanks at one site that look like one. */
export function duplicateTanks(actor: Actor, { search = '', chosen = [] }: MergeAsked = {}): Promise<MergePage> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const tanks = await tx.tank.findMany({
      where: { businessId, ...IN_USE },
      select: { id: true, name: true, siteId: true, volumeL: true, site: { select: { name: true } } },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    })
    const entries = tanks.map((tank) => ({
      id: tank.id,
      name: tank.name,
      words: wordsOf([tank.site.name, `${tank.volumeL.toNumber()} L`]),
      groupId: tank.siteId,
    }))
    const page = mergePage(businessId, findDuplicatesWithin(entries), narrowed(choicesOf(entries), search, chosen))
    // Counted for those that are shown only: a large business has hundreds of thousands of visits.
    const found = page.groups.flatMap((group) => group.entries.map(({ id }) => id))
    const counts = await countsOf(tx, businessId, [...found, ...page.choices.map(({ value }) => value)])
    const entryOf = new Map(entries.map((entry) => [entry.id, entry]))
    const withCounts = <Entry extends DuplicateEntry>(entry: Entry): Entry => ({
      ...entry,
      words: wordsOf([entry.words, counts(entry.id)]),
    })
    return {
      ...page,
      groups: page.groups.map((group) => ({ ...group, entries: group.entries.map(withCounts) })),
      choices: page.choices.flatMap(({ value }) => {
        const entry = entryOf.get(value)
        return entry ? choicesOf([withCounts(entry)]) : []
      }),
    }
  })
}

/** "2 devices, 14 visits" of each of these tanks. */
async function countsOf(tx: Transaction, businessId: string, tankIds: string[]): Promise<(tankId: string) => string> {
  const where = { businessId, tankId: { in: tankIds } }
  const ofEquipment = await tx.equipment.groupBy({ by: ['tankId'], where, _count: true })
  const ofVisits = await tx.visit.groupBy({ by: ['tankId'], where, _count: true })
  const devices = new Map(ofEquipment.map((row) => [row.tankId, row._count]))
  const visits = new Map(ofVisits.map((row) => [row.tankId, row._count]))
  return (tankId) => wordsOf([counted(devices.get(tankId) ?? 0, 'device'), counted(visits.get(tankId) ?? 0, 'visit')])
}

function mergePage(businessId: string, groups: MergePage['groups'], choices: Narrowed): MergePage {
  return { businessId, groups: groups.slice(0, GROUPS_SHOWN), ...choices }
}

function findDuplicatesWithin(entries: (DuplicateEntry & { groupId: string })[]): DuplicateGroup<DuplicateEntry>[] {
  return [...groupBy(entries, ({ groupId }) => groupId).values()].flatMap((part) =>
    findDuplicates<DuplicateEntry>(part),
  )
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
