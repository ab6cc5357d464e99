import { createHash } from 'node:crypto'
import pg from 'pg'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import type { Role } from '@/lib/office/frame/role-actions'
import { log } from '@/lib/platform/logging/log'
import { type Catalogue, inOrder, insertRow, makeRow, readCatalogue, type World } from '../../platform/db/world'
import { testDatabase } from '../../setup/database'
import { everyAction, type FoundAction, fitting, sampleOf, schemasOf } from './every-action'

// Every action of the program, found in its files, is called as every role with ids of another business, and as people of
// one client with ids of another (OWASP ASVS 5.0, chapter V8 "Authorization": horizontally and vertically). Nothing of the
// others is told, nothing of theirs changes, and none of it is a fault of the program.

const stand = vi.hoisted(() => ({ actor: null as unknown }))
/** What the actions apologised for, as it stands in the log. */
const faultsLogged: string[] = []
vi.spyOn(log, 'error').mockImplementation((entry: unknown) => {
  const { err } = entry as { err?: unknown } // as the wrapper of actions writes it
  faultsLogged.push(String(err instanceof Error ? err.message : err).slice(0, 300))
})

class Leads extends Error {}
vi.mock('next/navigation', () => ({
  redirect: (to: string) => {
    throw new Leads(`to ${to}`)
  },
  notFound: () => {
    throw new Leads('not found')
  },
  unstable_rethrow: (error: unknown) => {
    if (error instanceof Leads) throw error
  },
}))
vi.mock('next/cache', () => ({ revalidatePath: () => undefined }))
vi.mock('next/headers', () => ({
  headers: async () => new Headers(),
  cookies: async () => ({ get: () => undefined, set: () => undefined, delete: () => undefined }),
}))
vi.mock('@/lib/office/people/sessions', async (original) => ({
  ...(await original<object>()),
  readSession: async () => stand.actor,
  openSession: async () => newId(),
}))
vi.mock('@/lib/platform/auth/session-cookie', async (original) => ({
  ...(await original<object>()),
  readSessionId: async () => (stand.actor ? newId() : null),
  writeSession: async () => undefined,
  dropSession: async () => undefined,
}))

const ROLES: readonly Role[] = ['owner', 'technician', 'accountant', 'client']
/** What the program reads again in its own sense, in whichever table it stands. */
const PLAIN = { time_zone: 'Europe/London', locale: 'en-GB', currency: 'GBP', country: 'GB' }
let app: pg.Client
let catalogue: Catalogue
let actions: FoundAction[]
/** Ours; another client of our business; another business. */
let ours: World
let neighbour: World
let stranger: World

const worldOf = (name: string, businessId: string): World => ({
  ...{ name, businessId, clientId: newId(), personId: newId(), rows: new Map() },
})

async function inOffice<T>(world: World, work: () => Promise<T>): Promise<T> {
  await app.query('BEGIN')
  await app.query(
    `SELECT set_config('role', 'tankround_office', true), set_config('app.business_id', $1, true), set_config('app.user_id', $2, true)`,
    [world.businessId, world.personId],
  )
  try {
    return await work()
  } finally {
    await app.query('COMMIT')
  }
}

beforeAll(async () => {
  const { ownerUrl, appUrl } = await testDatabase()
  const owner = new pg.Client({ connectionString: ownerUrl })
  await owner.connect()
  catalogue = await readCatalogue(owner)
  await owner.end()
  app = new pg.Client({ connectionString: appUrl })
  await app.connect()
  const businessId = newId()
  ours = worldOf('OurOwnWorld', businessId)
  neighbour = worldOf('SecretNeighbour', businessId)
  stranger = worldOf('SecretStranger', newId())
  for (const world of [ours, neighbour, stranger])
    await inOffice(world, async () => {
      for (const table of inOrder(catalogue)) {
        if (table === 'business' && world === neighbour) continue
        const made = makeRow(catalogue, world, table)
        const plain = Object.entries(PLAIN).filter(([name]) => name in made)
        const row = { ...made, ...Object.fromEntries(plain) }
        world.rows.set(table, row)
        await insertRow(app, table, row)
      }
    })
  actions = await everyAction()
})
afterAll(() => app?.end())

/** An actor of our business in one role. */
function actorAs(role: Role): Actor {
  const membershipId = String(ours.rows.get('membership')?.id)
  const common = { businessId: ours.businessId, personId: ours.personId, membershipId, name: 'Somebody' }
  return role === 'client' ? { ...common, roles: ['client'], clientId: ours.clientId } : { ...common, roles: [role] }
}

/** Fields whose name does not say the table. */
const TABLE_OF: Readonly<Record<string, string>> = {
  technicianId: 'person',
  preferredPersonId: 'person',
  doneById: 'person',
  keptId: 'client',
  payerId: 'client',
  payerClientId: 'client',
  mergedId: 'client',
  placeId: 'stock_place',
  fromPlaceId: 'stock_place',
  toPlaceId: 'stock_place',
  orderId: 'part_order',
  priceId: 'price_item',
  requestId: 'visit_request',
  batchId: 'import_batch',
  lineId: 'invoice_line',
  waiverId: 'charge_waiver',
  subjectId: 'visit',
  moveId: 'stock_move',
  fitId: 'part_fit',
  useId: 'lot_use',
  levelId: 'reservoir_level',
  remedyId: 'fault_remedy',
  correctsId: 'payment',
  fromInvoiceId: 'invoice',
  toInvoiceId: 'invoice',
}

/** Ids of a world by the name of the field; the command's own is always new. */
function idsOf(world: World, envelope: string) {
  return (field: string): string => {
    if (field === 'commandId' || field === 'value' || field === 'photoId') return newId()
    if (field === 'businessId') return envelope
    const table =
      TABLE_OF[field] ?? field.replace(/Ids?$/, '').replaceAll(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`)
    return String(world.rows.get(table)?.id ?? world.rows.get('tank')?.id)
  }
}

/** What a world's rows are, in one hash; of our business those of the neighbour's client, as the rows were made. */
async function fingerprint(world: World): Promise<string> {
  const hash = createHash('sha256')
  await inOffice(world, async () => {
    for (const table of [...catalogue.tables].sort()) {
      const key = world.rows.get(table)?.id
      const rows =
        world === neighbour
          ? await app.query(`SELECT t::text AS line FROM "${table}" t WHERE to_jsonb(t) ->> 'id' = $1`, [key])
          : await app.query(`SELECT t::text AS line FROM "${table}" t ORDER BY 1`)
      hash.update(`${table}\n${rows.rows.map(({ line }) => line).join('\n')}\n`)
    }
  })
  return hash.digest('hex')
}

/** Calls an action with what it takes; whatever it throws but leading elsewhere is a fault. */
async function tryAction(action: FoundAction, sent: unknown): Promise<{ told: string; fault?: string }> {
  try {
    const told = await action.call(sent)
    return {
      told: JSON.stringify(told),
      ...(!told.ok && told.reason === 'fault' && { fault: faultsLogged.pop() ?? 'a fault' }),
    }
  } catch (error) {
    if (error instanceof Leads) return { told: error.message }
    return { told: '', fault: String(error instanceof Error ? error.message : error).slice(0, 300) }
  }
}

/** The books and the visits call the command's own id `id`; forms call it `commandId` everywhere. */
const asPosted = (sent: unknown) =>
  typeof sent === 'object' && sent !== null && 'id' in sent ? { commandId: sent.id, ...sent } : sent

/** The entry's own actions begin with nobody; what they do is tried by the tests of signing in. */
const isEntry = (action: FoundAction) => action.file.startsWith('app/(entry)')

async function tryAll(role: Role | null, world: World, envelope: string) {
  const faults: string[] = []
  const leaks: string[] = []
  const fitted: string[] = []
  stand.actor = role && {
    actor: actorAs(role),
    session: { sessionId: newId(), loginId: newId(), membershipId: newId(), businessId: ours.businessId },
  }
  for (const action of actions.filter((one) => !isEntry(one) && !one.file.startsWith('app/account'))) {
    const made = schemasOf(action).map((schema) => fitting(schema, sampleOf(schema, idsOf(world, envelope))))
    const samples = made.map(({ sent }) => asPosted(sent))
    if (made.some(({ fits }) => fits)) fitted.push(action.name)
    for (const sent of samples.length > 0 ? samples : [{}]) {
      const { told, fault } = await tryAction(action, sent)
      const where = `${action.file} ${action.name} as ${role ?? 'nobody'}`
      if (fault) faults.push(`${where}: ${fault}`)
      if (/Secret(?:Stranger|Neighbour)/.test(told)) leaks.push(`${where}: ${told.slice(0, 200)}`)
    }
  }
  return { faults, leaks, fitted }
}

test('the actions are found, each made by the one wrapper', () => {
  expect(actions.length).toBeGreaterThan(70)
  expect(actions.filter(({ listed }) => listed === null).map(({ file, name }) => `${file} ${name}`)).toEqual([])
})

test('nobody signed in: each refuses, and nothing of anybody changes', async () => {
  const before = await fingerprint(stranger)
  expect(await tryAll(null, stranger, ours.businessId)).toMatchObject({ faults: [], leaks: [] })
  expect(await fingerprint(stranger)).toBe(before)
})

for (const role of ROLES) {
  test(`as ${role}: with ids of another business, and with that business itself`, async () => {
    const before = await fingerprint(stranger)
    expect(await tryAll(role, stranger, ours.businessId)).toMatchObject({ faults: [], leaks: [] })
    expect(await tryAll(role, stranger, stranger.businessId)).toMatchObject({ faults: [], leaks: [] })
    expect(await fingerprint(stranger)).toBe(before)
  })
}

test('as somebody of a client: with ids of another client of the same business', async () => {
  const before = await fingerprint(neighbour)
  expect(await tryAll('client', neighbour, ours.businessId)).toMatchObject({ faults: [], leaks: [] })
  expect(await fingerprint(neighbour)).toBe(before)
})

test('the test can fail: with its own ids an owner does change something', async () => {
  const before = await fingerprint(ours)
  const { faults, fitted } = await tryAll('owner', ours, ours.businessId)
  // Most are tried with something that they take, not with something that is refused before anybody looks at ids.
  expect(fitted.length).toBeGreaterThan(actions.length * 0.8)
  expect(await fingerprint(ours)).not.toBe(before)
  expect(faults).toEqual([])
})
