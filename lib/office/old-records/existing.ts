import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { equipmentClassOf } from './class-words'
import { clientKey, equipmentKey, personKey, siteKey, tankKey } from './keys'
import type { ExistingRecords } from './plan-types'

/** Kinds of `import_row`: a line of a client file makes a site, and where the client is new a client too. */
export const ROW_KINDS = ['clients', 'sites', 'tanks', 'equipment', 'implied equipment', 'visits'] as const
export type RowKind = (typeof ROW_KINDS)[number]

/** A tank that is here: whose it was when, and where it stands. */
export type TankHere = {
  id: string
  siteId: string
  timeZone: string | null
  clients: { clientId: string; since: Date; until: Date | null }[]
}
export type DeviceHere = { id: string; slotId: string; equipmentClass: string; words: string }

/** What is in the records, by every key under which an old file may name it. */
export type RecordsHere = ExistingRecords & {
  ids: { clients: Map<string, string>; sites: Map<string, string>; people: Map<string, string> }
  tanksHere: Map<string, TankHere>
  devicesHere: Map<string, DeviceHere>
}

/**
 * Reads what is here. A thing is known by its present name, by the names of what was merged into it, and by the key under which
 * an import brought it: tidying names afterwards makes no second client of the same file.
 */
export async function readExisting(tx: Transaction, businessId: string): Promise<RecordsHere> {
  const broughtBy = await readKeys(tx, businessId)
  const named = { businessId }
  const byAge = { orderBy: [{ createdAt: 'asc' as const }, { id: 'asc' as const }] }
  const names = { id: true, name: true, mergedIntoId: true }
  const clients = keysOf(
    await tx.client.findMany({ where: named, select: names, ...byAge }),
    (client) => [clientKey(client.name)],
    broughtBy('clients'),
  )
  const keysOfClient = reversed(clients)
  const sites = await tx.site.findMany({ where: named, ...byAge })
  const siteKeys = keysOf(
    sites,
    (site) =>
      (keysOfClient.get(site.clientId) ?? []).flatMap((client) =>
        addressesOf(site).map((address) => siteKey(client, address)),
      ),
    broughtBy('sites'),
  )
  const people = await tx.person.findMany({
    where: named,
    select: { ...names, isTechnician: true },
    orderBy: [{ isTechnician: 'desc' }, ...byAge.orderBy],
  })
  const tanks = await readTanks(tx, businessId, keysOfClient, broughtBy('tanks'))
  const devices = await readDevices(tx, businessId, tanks.firstKey, broughtBy)
  const siteById = new Map(sites.map((site) => [site.id, site]))
  return {
    clients: [...clients.keys()].map((key) => ({ key, name: '' })),
    sites: [...siteKeys].flatMap(([key, id]) =>
      (keysOfClient.get(siteById.get(id)?.clientId ?? '') ?? []).map((client) => ({ key, clientKey: client, id })),
    ),
    tanks: tanks.entries,
    equipment: devices.entries,
    visitRows: new Set(broughtBy('visits').map((row) => row.rowKey)),
    ids: { clients, sites: siteKeys, people: keysOf(people, (person) => [personKey(person.name)], []) },
    tanksHere: tanks.byKey,
    devicesHere: devices.byKey,
  }
}

type KeyRow = { fileKind: string; rowKey: string; entityId: string | null }

async function readKeys(tx: Transaction, businessId: string) {
  const rows: KeyRow[] = await tx.importRow.findMany({
    where: { businessId },
    select: { fileKind: true, rowKey: true, entityId: true },
    orderBy: { id: 'asc' },
  })
  const byKind = new Map<string, KeyRow[]>()
  for (const row of rows) {
    const same = byKind.get(row.fileKind)
    if (same) same.push(row)
    else byKind.set(row.fileKind, [row])
  }
  return (kind: RowKind): KeyRow[] => byKind.get(kind) ?? []
}

/** Follows merges to the one that stayed. */
function survivors(rows: readonly { id: string; mergedIntoId: string | null }[]): (id: string) => string {
  const into = new Map(rows.map((row) => [row.id, row.mergedIntoId]))
  return (id) => {
    let at = id
    for (let next = into.get(at); next; next = into.get(at)) at = next
    return at
  }
}

/** Key → id: present names before those of merged ones before keys of imports; the oldest of two with one name. */
function keysOf<T extends { id: string; mergedIntoId: string | null }>(
  rows: readonly T[],
  keys: (row: T) => string[],
  brought: readonly KeyRow[],
): Map<string, string> {
  const survivor = survivors(rows)
  const known = new Set(rows.map((row) => row.id))
  const found = new Map<string, string>()
  const note = (key: string, id: string) => void (found.has(key) || found.set(key, survivor(id)))
  const present = rows.filter((row) => row.mergedIntoId === null)
  const merged = rows.filter((row) => row.mergedIntoId !== null)
  for (const row of [...present, ...merged]) for (const key of keys(row)) note(key, row.id)
  for (const { rowKey, entityId } of brought) if (entityId !== null && known.has(entityId)) note(rowKey, entityId)
  return found
}

function reversed(ids: ReadonlyMap<string, string>): Map<string, string[]> {
  const keys = new Map<string, string[]>()
  for (const [key, id] of ids) keys.set(id, [...(keys.get(id) ?? []), key])
  return keys
}

/** An address as one line, with and without its town: an old file may have either. */
function addressesOf({ address, postcode, city }: { address: string; postcode: string; city: string }) {
  const whole = [address, postcode, city].filter((part) => part !== '')
  const variants = [address, whole.join(', '), [address, city].filter((part) => part !== '').join(', ')]
  return [...new Set(variants)].map((text) => (text === '' ? null : text))
}

/** The key of a thing that no import brought: no renaming changes it. */
const keyOfId = (id: string) => `here:${id}`

/** The first key of a tank is the one that its visits are recognised by: that of its import, else its id. */
async function readTanks(
  tx: Transaction,
  businessId: string,
  keysOfClient: ReadonlyMap<string, string[]>,
  brought: readonly KeyRow[],
) {
  const rows = await tx.tank.findMany({
    where: { businessId },
    select: {
      id: true,
      name: true,
      siteId: true,
      mergedIntoId: true,
      site: { select: { timeZone: true } },
      tankClients: { select: { clientId: true, since: true, until: true }, orderBy: [{ since: 'asc' }, { id: 'asc' }] },
    },
    orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
  })
  const survivor = survivors(rows)
  const rowById = new Map(rows.map((row) => [row.id, row]))
  const entries: { key: string; name: string; clientKey: string; id: string }[] = []
  const byKey = new Map<string, TankHere>()
  const firstKey = new Map<string, string>()
  const importKey = new Map(brought.map((row) => [row.entityId, row.rowKey]))
  for (const row of [...rows].sort((a, b) => Number(a.mergedIntoId !== null) - Number(b.mergedIntoId !== null))) {
    const stays: (typeof rows)[number] = rowById.get(survivor(row.id)) ?? row
    const { id, siteId, site } = stays
    const note = (key: string, client: string) => {
      if (byKey.has(key)) return
      byKey.set(key, { id, siteId, timeZone: site.timeZone, clients: stays.tankClients })
      entries.push({ key, name: row.name, clientKey: client, id })
      if (!firstKey.has(id)) firstKey.set(id, key)
    }
    const clients = row.tankClients.flatMap(({ clientId }) => keysOfClient.get(clientId) ?? [])
    for (const client of clients.slice(0, 1)) note(importKey.get(row.id) ?? keyOfId(row.id), client)
    for (const client of clients) note(tankKey(client, row.name), client)
  }
  return { entries, byKey, firstKey }
}

/** Of the devices that followed each other in a slot the first: old records speak of the time before us. */
async function readDevices(
  tx: Transaction,
  businessId: string,
  firstKeyOfTank: ReadonlyMap<string, string>,
  broughtBy: (kind: RowKind) => KeyRow[],
) {
  const rows = await tx.equipment.findMany({
    where: { businessId },
    select: { id: true, tankId: true, slotId: true, equipmentClass: true, label: true, ownWords: true },
    orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
  })
  const rowById = new Map(rows.map((row) => [row.id, row]))
  const entries: NonNullable<ExistingRecords['equipment'][number]>[] = []
  const byKey = new Map<string, DeviceHere>()
  const note = (key: string, row: (typeof rows)[number]) => {
    const tank = firstKeyOfTank.get(row.tankId)
    if (tank === undefined || byKey.has(key)) return
    const { id, slotId, equipmentClass } = row
    const words = row.ownWords || row.label
    byKey.set(key, { id, slotId, equipmentClass, words })
    entries.push({ key, tankKey: tank, classSlug: equipmentClass, classWords: words, label: ownLabel(row), id })
  }
  for (const { rowKey, entityId } of [...broughtBy('equipment'), ...broughtBy('implied equipment')]) {
    const row = rowById.get(entityId ?? '')
    if (row) note(rowKey, row)
  }
  const brought = new Set(entries.map((entry) => entry.id))
  const taken = new Set(rows.filter((row) => brought.has(row.id)).map((row) => row.slotId))
  for (const row of rows) {
    const tank = firstKeyOfTank.get(row.tankId)
    if (tank === undefined || (taken.has(row.slotId) && !brought.has(row.id))) continue
    taken.add(row.slotId)
    brought.add(row.id)
    note(keyOfId(row.id), row)
    note(equipmentKey(tank, row.equipmentClass, ownLabel(row)), row)
  }
  return { entries, byKey }
}

/** A label that only says what kind of device it is tells nothing apart. */
function ownLabel({ label, equipmentClass }: { label: string; equipmentClass: string }): string | null {
  const named = equipmentClassOf(label)
  return label === '' || (named.slug === equipmentClass && !named.ordered) ? null : label
}
