import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { bookVisit } from '@/lib/office/booking/commands'
import type { Actor } from '@/lib/office/frame/actor'
import { dangerousNow } from '@/lib/office/today/dangerous-readings'
import { todayOf } from '@/lib/office/today/queries'
import { findMode } from '@/lib/trade'
import { askAs, testDatabase } from '../../setup/database'
import { askForVisit, booking } from '../booking/book'
import { accepted, look, makeBusiness, makeClient, makeSite, makeTank, makeVisit } from '../clients/register'

const NOW = new Date('2026-11-25T11:00:00Z') // a Wednesday; 11:00 in London, too
const TODAY = '2026-11-25'

async function world(name: string): Promise<{ owner: Actor; tankId: string; clientId: string }> {
  const owner = await makeBusiness(name)
  const clientId = await makeClient(owner, { name: `Client of ${name}` })
  return { owner, clientId, tankId: await makeTank(owner, await makeSite(owner, clientId)) }
}
const at = (actor: Actor) => todayOf(actor, NOW)

beforeAll(async () => {
  await testDatabase()
})

test('a business without anything has an empty day that says so', async () => {
  const day = await at(await makeBusiness('New'))
  expect(day).toMatchObject({
    today: TODAY,
    nowMinute: 660,
    isNew: true,
    requests: [],
    unsafe: [],
    water: [],
    roads: [],
    refused: [],
  })
  expect(day.money).toMatchObject({
    drafts: { count: 0, minor: 0 },
    open: { count: 0, minor: 0 },
    late: { count: 0, minor: 0 },
    received: { count: 0, minor: 0 },
  })
})

test('an open request waits; a second business does not see it', async () => {
  const { owner, tankId } = await world('Requests')
  await askForVisit(owner, tankId, 'goes up and down again')
  expect((await at(owner)).requests).toMatchObject([{ words: 'goes up and down again', tankName: 'Hall' }])
  expect((await at((await world('Another')).owner)).requests).toEqual([])
})

describe('visits left early', () => {
  const finish = (owner: Actor, visitId: string, outcome: string, reason = '') =>
    look(owner, async (tx) => {
      await tx.visit.updateMany({ where: { id: visitId }, data: { outcome } })
      if (reason)
        await tx.visitPrivate.create({
          data: { businessId: owner.businessId, id: newId(), visitId, leftEarlyReason: reason },
        })
    })

  test('wait until the tank is booked or seen again; who was let in and stayed does not', async () => {
    const { owner, tankId } = await world('Left early')
    const whole = await makeVisit(owner, tankId, '2026-11-10', 'done')
    await finish(owner, whole, 'done')
    expect((await at(owner)).leftEarly).toEqual([])
    const cut = await makeVisit(owner, tankId, '2026-11-20', 'done')
    await finish(owner, cut, 'cut_short', 'fire drill')
    expect((await at(owner)).leftEarly).toMatchObject([{ visitId: cut, reason: 'fire drill', noAccess: false }])
    const shut = await makeVisit(owner, tankId, '2026-11-24', 'done')
    await finish(owner, shut, 'no_access')
    expect((await at(owner)).leftEarly.map((row) => row.visitId)).toEqual([cut, shut])
    accepted(await bookVisit(owner, booking(owner, tankId)))
    expect((await at(owner)).leftEarly).toEqual([])
  })
})

test('a visit left early waits although the next one of the agreement stood in the plan; moved since, it waits no more', async () => {
  const { owner, tankId } = await world('Left early on a round')
  const { businessId, personId } = owner
  const planned = accepted(await bookVisit(owner, booking(owner, tankId)))
  const cut = await makeVisit(owner, tankId, '2026-11-20', 'done')
  await look(owner, (tx) => tx.visit.updateMany({ where: { id: cut }, data: { outcome: 'cut_short' } }))
  expect((await at(owner)).leftEarly).toMatchObject([{ visitId: cut }])
  const entry = { entity: 'visit', entityId: planned.visitId, action: 'move' }
  await look(owner, (tx) => tx.audit.create({ data: { ...entry, businessId, personId, id: newId() } }))
  expect((await at(owner)).leftEarly).toEqual([])
})

describe('dangerous water', () => {
  // The alarm limits are the trade's own and named where they stand; here that nobody can miss a reading past them.
  async function measured(
    owner: Actor,
    ids: { tankId: string; clientId: string },
    value: number,
    on: string,
    correctsId: string | null = null,
  ) {
    const id = newId()
    await look(owner, (tx) =>
      tx.reading.create({
        data: {
          ...{ businessId: owner.businessId, id, ...ids, correctsId, quantity: 'temperature', value, unit: '°C' },
          ...{
            enteredValue: String(value),
            enteredUnit: '°C',
            takenOn: new Date(on),
            takenAt: new Date(`${on}T09:00:00Z`),
          },
        },
      }),
    )
    return id
  }

  test('waits until it is measured again and is well; old water and fine water do not wait', async () => {
    const { owner, tankId, clientId } = await world('Water')
    const ids = { tankId, clientId }
    await measured(owner, ids, 39, '2026-07-01')
    await measured(owner, ids, 25, '2026-11-20')
    expect((await at(owner)).water).toEqual([])
    await measured(owner, ids, 39, '2026-11-24')
    expect((await at(owner)).water).toMatchObject([
      { tankId, takenOn: '2026-11-24', bookedOn: null, words: expect.stringContaining('39 °C is dangerously high') },
    ])
    await measured(owner, ids, 25, '2026-11-25')
    expect((await at(owner)).water).toEqual([])
  })

  test('of a large business an answer serves for a minute, and none for longer', async () => {
    const { owner, tankId, clientId } = await world('Large waters')
    await measured(owner, { tankId, clientId }, 39, '2026-11-24')
    const { businessId } = owner
    const kept = (madeAt: string) => ({
      isLarge: true,
      byName: new Map([['dangerous-water', { answer: [], madeAt: new Date(madeAt) }]]),
    })
    const asked = (madeAt: string) =>
      look(owner, (tx) => dangerousNow(tx, businessId, { now: NOW, today: TODAY, stored: kept(madeAt) }))
    expect(await asked('2026-11-25T10:59:10Z')).toEqual([])
    expect(await asked('2026-11-25T10:58:50Z')).toMatchObject([{ tankId }])
    expect(
      await look(owner, (tx) =>
        dangerousNow(tx, businessId, { now: NOW, today: TODAY, stored: { isLarge: true, byName: new Map() } }),
      ),
    ).toMatchObject([{ tankId }])
  })

  test('a figure that was corrected does not wait', async () => {
    const { owner, tankId, clientId } = await world('Typed wrong')
    const wrong = await measured(owner, { tankId, clientId }, 39, '2026-11-24')
    expect((await at(owner)).water).toHaveLength(1)
    await measured(owner, { tankId, clientId }, 25, '2026-11-24', wrong)
    expect((await at(owner)).water).toEqual([])
  })
})

describe('unsafe findings', () => {
  async function unsafe() {
    const { owner, clientId } = await world(`Unsafe ${newId()}`)
    const siteId = await makeSite(owner, clientId)
    const equipment = [{ classSlug: 'heater', label: 'Heater, sump' }]
    const tankId = await makeTank(owner, siteId, { name: 'Bar' })
    const mode = 'heater/stuck'
    // The mode is of the catalogue and marked as one that can hurt; otherwise this test would prove nothing.
    expect(findMode(mode)?.safetyCritical).toBe(true)
    const equipmentId = newId()
    const slotId = newId()
    await look(owner, async (tx) => {
      const { businessId } = owner
      const equipmentClass = equipment[0]?.classSlug ?? ''
      await tx.slot.create({ data: { businessId, id: slotId, tankId, equipmentClass, label: 'Heater' } })
      await tx.equipment.create({
        data: { businessId, id: equipmentId, tankId, slotId, equipmentClass, label: 'Heater, sump' },
      })
    })
    const find = (fields: { asFound: string; foundOn: string; failureMode?: string; correctsId?: string }) =>
      look(owner, async (tx) => {
        const id = newId()
        await tx.finding.create({
          data: {
            businessId: owner.businessId,
            id,
            clientId,
            tankId,
            equipmentId,
            equipmentClass: 'heater',
            failureMode: mode,
            depth: 'running',
            madeAt: new Date(`${fields.foundOn}T10:00:00Z`),
            ...fields,
            foundOn: new Date(`${fields.foundOn}T00:00:00Z`),
          },
        })
        return id
      })
    return { owner, tankId, equipmentId, mode, find }
  }

  test('a stuck heater waits; a later look that is fine closes it', async () => {
    const { owner, find } = await unsafe()
    await find({ asFound: 'failed', foundOn: '2026-11-24' })
    expect((await at(owner)).unsafe).toMatchObject([{ device: 'Heater, sump', failed: true, bookedOn: null }])
    await find({ asFound: 'ok', foundOn: '2026-11-25' })
    expect((await at(owner)).unsafe).toEqual([])
  })

  test('a renewal closes it, one before the finding does not', async () => {
    const { owner, tankId, equipmentId, mode, find } = await unsafe()
    const renew = (renewedOn: string) =>
      look(owner, (tx) =>
        tx.renewal.create({
          data: {
            businessId: owner.businessId,
            id: newId(),
            tankId,
            equipmentId,
            failureMode: mode,
            reason: 'found',
            renewedOn: new Date(`${renewedOn}T00:00:00Z`),
            madeAt: new Date(`${renewedOn}T10:00:00Z`),
          },
        }),
      )
    await renew('2026-11-20')
    await find({ asFound: 'needs_it', foundOn: '2026-11-24' })
    expect((await at(owner)).unsafe).toHaveLength(1)
    await renew('2026-11-25')
    expect((await at(owner)).unsafe).toEqual([])
  })

  test('a finding that was corrected counts as it should have read', async () => {
    const { owner, find } = await unsafe()
    const wrong = await find({ asFound: 'failed', foundOn: '2026-11-24' })
    await find({ asFound: 'not_looked', foundOn: '2026-11-24', correctsId: wrong })
    expect((await at(owner)).unsafe).toEqual([])
  })

  test('a fault that hurts nobody is not in this list', async () => {
    const { owner, find } = await unsafe()
    expect(findMode('protein-skimmer/impeller-film')?.safetyCritical).toBe(false)
    await find({ asFound: 'failed', foundOn: '2026-11-24', failureMode: 'protein-skimmer/impeller-film' })
    expect((await at(owner)).unsafe).toEqual([])
  })
})

describe('on the road', () => {
  test('a day is drawn as it went: done, there too long, ahead, and nobody there yet', async () => {
    const { owner, tankId } = await world('Road')
    const plan = { date: TODAY, plannedMinutes: 30 }
    const ids: string[] = []
    for (const plannedStart of ['08:00', '09:30', '10:10', '14:00'])
      ids.push(accepted(await bookVisit(owner, booking(owner, tankId, { ...plan, plannedStart }))).visitId)
    accepted(await bookVisit(owner, booking(owner, tankId, { date: TODAY, plannedStart: '', technicianId: '' })))
    const [first, second] = ids
    await look(owner, async (tx) => {
      const times = { arrivedAt: new Date('2026-11-25T08:05:00Z'), leftAt: new Date('2026-11-25T08:50:00Z') }
      await tx.visit.updateMany({ where: { id: first }, data: { state: 'done', outcome: 'done', ...times } })
      const arrivedAt = new Date('2026-11-25T09:30:00Z')
      await tx.visit.updateMany({ where: { id: second }, data: { state: 'under_way', arrivedAt } })
    })
    const { roads } = await at(owner)
    expect(roads.map((road) => [road.name, road.stops.length])).toEqual([
      ['Nobody yet', 1],
      ['Robin Vale', 4],
    ])
    const stops = roads[1]?.stops.map(({ course, fromMinute, toMinute, minutesOver }) => ({
      course,
      fromMinute,
      toMinute,
      minutesOver,
    }))
    // At 11:00: 45 minutes stayed instead of 30; 90 instead of 30 and still there; over since 10:40; ahead.
    expect(stops).toEqual([
      { course: 'done', fromMinute: 485, toMinute: 530, minutesOver: 15 },
      { course: 'late', fromMinute: 570, toMinute: 660, minutesOver: 60 },
      { course: 'late', fromMinute: 610, toMinute: 640, minutesOver: 20 },
      { course: 'planned', fromMinute: 840, toMinute: 870, minutesOver: 0 },
    ])
  })
})

describe('money', () => {
  test('drafts, what is still open past its day, and what came in this month', async () => {
    const { owner, clientId } = await world('Money')
    const { businessId } = owner
    const day = (value: string) => new Date(`${value}T00:00:00Z`)
    await look(owner, async (tx) => {
      const invoice = (fields: {
        id: string
        state: string
        grossMinor: number
        number?: string
        dueOn?: Date
        documentType?: string
        correctsInvoiceId?: string
      }) => {
        const issuedOn = fields.state === 'issued' ? day('2026-09-01') : null
        return tx.invoice.create({ data: { businessId, clientId, currency: 'GBP', issuedOn, ...fields } })
      }
      const [late, settled, notYet, credited] = [newId(), newId(), newId(), newId()]
      await invoice({ id: newId(), state: 'draft', grossMinor: 12_000 })
      await invoice({ id: newId(), state: 'draft', grossMinor: 3_050 })
      await invoice({ id: late, state: 'issued', number: '1', grossMinor: 29_736, dueOn: day('2026-11-24') })
      await invoice({ id: settled, state: 'issued', number: '2', grossMinor: 5_000, dueOn: day('2026-11-01') })
      await invoice({ id: notYet, state: 'issued', number: '3', grossMinor: 7_000, dueOn: day(TODAY) })
      await invoice({ id: credited, state: 'issued', number: '4', grossMinor: 9_000, dueOn: day('2026-10-01') })
      await invoice({
        id: newId(),
        state: 'issued',
        number: 'C1',
        grossMinor: 9_000,
        documentType: 'credit_note',
        correctsInvoiceId: credited,
      })
      const payment = async (
        id: string,
        invoiceId: string,
        amountMinor: number,
        receivedOn: string,
        correctsId: string | null = null,
      ) => {
        const of = { businessId, clientId, amountMinor }
        await tx.payment.create({ data: { ...of, id, currency: 'GBP', receivedOn: day(receivedOn), correctsId } })
        await tx.allocation.create({ data: { ...of, id: newId(), invoiceId, paymentId: id } })
      }
      const mistyped = newId()
      await payment(mistyped, late, 90_000, '2026-11-20')
      await payment(newId(), late, 9_000, '2026-11-20', mistyped)
      await payment(newId(), settled, 2_000, '2026-10-31')
      await payment(newId(), settled, 3_000, '2026-11-01')
    })
    // Open: 297.36 less 90.00, and 70.00 due today; paid in November: 90.00 and 30.00.
    expect((await at(owner)).money).toMatchObject({
      drafts: { count: 2, minor: 15_050 },
      open: { count: 2, minor: 27_736 },
      late: { count: 1, minor: 20_736 },
      received: { count: 2, minor: 12_000 },
    })
  })
})

test('a backup that is old, or was never made, is said', async () => {
  const { owner } = await world('Backup')
  expect((await at(owner)).backup).toEqual({ finishedAt: null, tooOld: true })
  const finished = (at: string) =>
    askAs({ role: 'identity' }, (client) =>
      client.query(`insert into identity.backup_run (id, finished_at, size_bytes, sha256) values ($1, $2, 1, 'x')`, [
        newId(),
        at,
      ]),
    )
  await finished('2026-11-20T02:10:00Z')
  expect((await at(owner)).backup).toEqual({ finishedAt: '2026-11-20T02:10:00.000Z', tooOld: true })
  await finished('2026-11-25T02:10:00Z')
  expect((await at(owner)).backup).toEqual({ finishedAt: '2026-11-25T02:10:00.000Z', tooOld: false })
})

test('what a phone sent and was refused is shown to the owner', async () => {
  const { owner, tankId } = await world('Refused')
  await look(owner, (tx) =>
    tx.command.create({
      data: {
        businessId: owner.businessId,
        id: newId(),
        deviceId: 'phone',
        deviceSeq: 1,
        madeAt: NOW,
        receivedAt: NOW,
        kind: 'visit.note',
        payload: { tankId },
        status: 'refused',
        reason: 'This visit was cancelled.',
        personId: owner.personId,
      },
    }),
  )
  expect((await at(owner)).refused).toMatchObject([{ person: 'Robin Vale', reason: 'This visit was cancelled.' }])
})
