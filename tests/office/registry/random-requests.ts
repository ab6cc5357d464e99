import { expect } from 'vitest'
import type * as z from 'zod'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { COMMANDS } from '@/lib/office/registry/commands'
import { askAs } from '../../setup/database'
import { fitting } from '../people/every-action'
import { addSignIn, makeBusiness } from '../people/make-business'
import { bookVisit, makeRound } from '../visits/round'
import { broken, inputOf, pick, type Random, randomFrom } from './random-input'

/** Which table the rows of a field are in, where its name does not say so. */
const TABLES: Readonly<Record<string, string>> = {
  placeId: 'stock_place',
  fromPlaceId: 'stock_place',
  toPlaceId: 'stock_place',
  orderId: 'part_order',
  fitId: 'part_fit',
  moveId: 'stock_move',
  levelId: 'reservoir_level',
  useId: 'lot_use',
  lineId: 'invoice_line',
  waiverId: 'charge_waiver',
  subjectId: 'visit',
  requestId: 'visit_request',
  remedyId: 'fault_remedy',
  answerId: 'interval_choice',
  technicianId: 'person',
  preferredPersonId: 'person',
  payerClientId: 'client',
  payerId: 'client',
  batchId: 'import_batch',
  replace: 'visit_event',
}

type World = { owner: Actor; actors: Actor[]; rows: Map<string, string[]> }

async function makeWorld(name: string): Promise<World> {
  const owner = await makeBusiness(`owner@${name}.example`)
  const { businessId } = owner
  const technician = await addSignIn({ businessId, email: `tech@${name}.example`, roles: ['technician'] })
  const accountant = await addSignIn({ businessId, email: `books@${name}.example`, roles: ['accountant'] })
  return { owner, actors: [owner, owner, owner, owner, technician, accountant], rows: new Map() }
}

/** Every row of a business, by table: ids, and one text that changes when anything of them does. */
async function look(businessId: string): Promise<{ rows: Map<string, string[]>; print: string }> {
  return askAs({ role: 'office', businessId }, async (client) => {
    const tables = await client.query<{ name: string }>(
      `SELECT relname AS name FROM pg_class
      JOIN pg_attribute ON attrelid = pg_class.oid AND attname = 'id' AND NOT attisdropped
      WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace AND has_table_privilege(pg_class.oid, 'SELECT') ORDER BY 1`,
    )
    const rows = new Map<string, string[]>()
    const prints: string[] = []
    for (const { name } of tables.rows) {
      const found = await client.query<{ id: string; print: string }>(
        `SELECT id, md5(t::text) AS print FROM "${name}" t ORDER BY id`,
      )
      rows.set(
        name,
        found.rows.map(({ id }) => id),
      )
      prints.push(...found.rows.map(({ print }) => print))
    }
    return { rows, print: prints.join() }
  })
}

const snake = (field: string) => field.replace(/Id$/, '').replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`)

/** Mostly a row that is there; at times one of another table, of another business, or none at all. */
function idsOf(random: Random, ours: World, theirs: World, businessId: string) {
  return (field: string): string => {
    if (field === 'businessId') return businessId
    if (field === 'commandId') return newId()
    const all = (world: World) => [...world.rows.values()].flat()
    const right = ours.rows.get(TABLES[field] ?? snake(field)) ?? []
    const luck = random()
    const from = luck < 0.75 && right.length > 0 ? right : luck < 0.9 ? all(ours) : all(theirs)
    return luck > 0.97 || from.length === 0 ? newId() : pick(random, from)
  }
}

/** Something that answers requests: a command, or an action in front of one. */
export type Target = {
  name: string
  schema: z.ZodType
  send: (
    actor: Actor,
    request: unknown,
  ) => Promise<{ ok: boolean; reason?: string; words?: string | undefined; fields?: object }>
}

/** Every command of the registry. */
export const COMMAND_TARGETS: readonly Target[] = [...COMMANDS.values()].map((command) => ({
  name: command.kind,
  schema: command.schema,
  // Whatever comes is what it is asked to answer.
  send: (actor, request) => command(actor, request as never),
}))

export type Tally = { answered: number; done: number; refusals: Map<string, number>; kinds: Map<string, number> }

/**
 * Sends so many requests to all of these: half of them as their schemas have it, half with something wrong in them.
 * Each must answer, none may throw, and nothing of another business may change.
 */
export async function sendRandomRequests(targets: readonly Target[], count: number, seed: number): Promise<Tally> {
  const random = randomFrom(seed)
  const round = await makeRound()
  await bookVisit(round)
  const theirs = await makeWorld(`their${seed}`)
  const own = await makeWorld(`ours${seed}`)
  // The business with a tank, devices and a visit, and its own people.
  const roundOwner: Actor = { ...round.actor, roles: ['owner'] }
  const ours: World = { owner: roundOwner, actors: [roundOwner, roundOwner, roundOwner, round.actor], rows: new Map() }
  theirs.rows = (await look(theirs.owner.businessId)).rows
  const before = (await look(theirs.owner.businessId)).print
  const tally: Tally = { answered: 0, done: 0, refusals: new Map(), kinds: new Map() }
  const throwers: string[] = []
  for (let sent = 0; sent < count; sent++) {
    const world = random() < 0.9 ? ours : own
    if (sent % 50 === 0) for (const one of [ours, own]) one.rows = (await look(one.owner.businessId)).rows
    const actor = pick(random, world.actors)
    const target = pick(random, targets)
    const ids = idsOf(random, world, theirs, random() < 0.98 ? actor.businessId : theirs.owner.businessId)
    const input = fitting(target.schema, inputOf(target.schema, random, ids)).sent
    const request = random() < 0.5 ? input : broken(input, random)
    try {
      const answer = await target.send(actor, request)
      tally.answered += 1
      if (answer.ok) {
        tally.done += 1
        tally.kinds.set(target.name, (tally.kinds.get(target.name) ?? 0) + 1)
      } else tally.refusals.set(answer.reason ?? '', (tally.refusals.get(answer.reason ?? '') ?? 0) + 1)
      if (answer.reason === 'fault') throwers.push(`${target.name}: a fault`)
      if (!answer.ok && !answer.fields && !answer.words) throwers.push(`${target.name}: ${answer.reason} without words`)
    } catch (error) {
      throwers.push(`${target.name}: ${String(error).slice(0, 400)}`)
    }
  }
  expect([...new Set(throwers)]).toEqual([])
  expect((await look(theirs.owner.businessId)).print).toBe(before)
  expect(({} as { isOwner?: boolean }).isOwner).toBeUndefined()
  return tally
}
