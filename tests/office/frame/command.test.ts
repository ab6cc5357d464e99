import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { addClient, editClient } from '@/lib/office/clients/commands'
import { EMPTY_CLIENT } from '@/lib/office/clients/schema'
import type { Actor } from '@/lib/office/frame/actor'
import { changedWords } from '@/lib/office/frame/kept-words'
import { addPart } from '@/lib/office/parts/commands'
import { EMPTY_PART } from '@/lib/office/parts/schema'
import { addPerson } from '@/lib/office/people/person-commands'
import { addPersonSchema } from '@/lib/office/people/schema'
import { changeCosts } from '@/lib/office/settings/commands'
import { applyVisitCommand } from '@/lib/office/visits/commands'
import { inScope } from '@/lib/platform/db/scope'
import { askAs, testDatabase } from '../../setup/database'
import { addSignIn, envelope, makeBusiness } from '../people/make-business'
import { bookVisit, makePhone, makeRound } from '../visits/round'

let owner: Actor
let technician: Actor
beforeAll(async () => {
  await testDatabase()
  owner = await makeBusiness('owner@commands.example')
  technician = await addSignIn({
    businessId: owner.businessId,
    email: 'tech@commands.example',
    roles: ['technician'],
  })
})

const rowOf = (actor: Actor, id: string) =>
  inScope({ role: 'office', ...actor }, (tx) =>
    tx.command.findUniqueOrThrow({ where: { businessId_id: { businessId: actor.businessId, id } } }),
  )

describe('the same id again', () => {
  test('with the same content answers the same, with other content it is refused and shows what was kept', async () => {
    const input = { ...envelope(owner), ...EMPTY_PART, name: 'Pump tube', cost: '100' }
    const first = await addPart(owner, input)
    expect(first).toMatchObject({ ok: true })
    expect(await addPart(owner, input)).toEqual(first)
    const other = await addPart(owner, { ...input, cost: '1000' })
    expect(other).toMatchObject({ ok: false, reason: 'other-content' })
    if (!other.ok) expect(other.words).toContain('already saved as cost: 100.')
    const parts = await inScope({ role: 'office', ...owner }, (tx) => tx.part.findMany())
    expect(parts.map(({ costMinor }) => costMinor)).toEqual([10_000])
  })

  test('what the log leaves out counts too, and is not said', async () => {
    const input = { ...envelope(owner), ...EMPTY_CLIENT, name: 'Marram Library' }
    await addClient(owner, input)
    const other = await addClient(owner, { ...input, name: 'Kelp Quay' })
    expect(other).toMatchObject({ ok: false, reason: 'other-content' })
    expect(JSON.stringify([other, await rowOf(owner, input.commandId)])).not.toMatch(/Marram|Kelp/)
  })

  test('as another kind of command it is refused, also where the first one has no hash', async () => {
    const input = { ...envelope(owner), ...EMPTY_CLIENT, name: 'Before hashes' }
    await inScope({ role: 'office', ...owner }, (tx) =>
      tx.command.create({
        data: {
          ...{ businessId: owner.businessId, id: input.commandId, deviceId: 'desk', deviceSeq: 0, kind: 'client.add' },
          ...{ madeAt: new Date('2026-11-25T09:00:00Z'), payload: {}, status: 'applied', personId: owner.personId },
          result: { clientId: input.commandId },
        },
      }),
    )
    expect(await addClient(owner, input)).toEqual({ ok: true, value: { clientId: input.commandId } })
    expect(await editClient(owner, { ...input, clientId: newId() })).toMatchObject({ reason: 'other-content' })
  })

  test('of somebody else is refused', async () => {
    const input = { ...envelope(owner), ...EMPTY_PART, name: 'Whose is it' }
    await addPart(owner, input)
    expect(await addPart(technician, input)).toMatchObject({ ok: false, reason: 'not-allowed' })
  })

  test('from a phone whose clock was put right meanwhile is the same', async () => {
    const round = await makeRound()
    const visitId = await bookVisit(round)
    const said = makePhone(round, visitId)({ kind: 'visit.arrive' })
    const first = await applyVisitCommand(round.actor, said)
    expect(await applyVisitCommand(round.actor, { ...said, clockOffsetMs: 4000 })).toEqual(first)
    const row = await rowOf(round.actor, said.id)
    expect(row).toMatchObject({ visitId, stopId: null })
    expect(row.hash).toMatch(/^[\w-]{8}\.[\w-]{43}$/)
  })
})

test('a role is asked for by every command: people and settings are not a technician’s', async () => {
  const person = addPersonSchema.parse({
    ...envelope(technician),
    ...{ name: 'Nobody', email: '', phone: '', note: '', dayStart: '08:00', dayEnd: '17:00' },
  })
  expect(await addPerson(technician, person)).toMatchObject({ ok: false, reason: 'not-allowed' })
  const costs = { equipmentClass: '*', planned: '1', found: '1', callOut: '1', hiddenPerDay: '1' }
  const state = { ...envelope(technician), ...costs, shareReportedPercent: '10' }
  expect(await changeCosts(technician, state)).toMatchObject({ ok: false, reason: 'not-allowed' })
})

describe('a row of the log', () => {
  const change = (set: string, role: 'owner' | 'office') =>
    askAs(role === 'owner' ? { role } : { role, businessId: owner.businessId }, (client) =>
      client.query(`UPDATE command SET ${set} WHERE business_id = $1`, [owner.businessId]),
    )

  test.each(['payload', 'kind', 'made_at', 'person_id', 'hash', 'visit_id', 'stop_id', 'device_seq', 'received_at'])(
    'keeps its %s',
    async (column) => {
      await expect(change(`${column} = ${column}`, 'office')).rejects.toThrow(/permission denied/)
    },
  )

  test('lets its status, reason and result be written', async () => {
    expect((await change(`status = status, reason = reason, result = result`, 'office')).rowCount).toBeGreaterThan(0)
  })

  test('is kept from the owner of the tables too', async () => {
    await expect(
      askAs({ role: 'owner' }, async (client) => {
        await client.query('ALTER TABLE command NO FORCE ROW LEVEL SECURITY')
        await client.query(`UPDATE command SET payload = '{"forged": true}'`)
      }),
    ).rejects.toThrow(/append-only/)
  })
})

test('what was kept is named where it differs, three things at most, and never an id', () => {
  const id = newId()
  expect(changedWords({ amount: '100', note: 'x', tankId: id }, { amount: '1000', note: 'x', tankId: newId() })).toBe(
    'This entry was already saved as amount: 100. What you sent now was not saved. Change the saved one, or press again if this is another.',
  )
  expect(changedWords({ lines: [{ unitPrice: '4' }] }, { lines: [{ unitPrice: '5' }] })).toContain(
    'lines 1 unit price: 4.',
  )
  expect(changedWords({ a: 1, b: 1, c: 1, d: 1 }, {})).toContain('a: 1, b: 1, c: 1 …')
})
