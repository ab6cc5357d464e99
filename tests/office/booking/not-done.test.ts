// A visit whose day went by with nothing logged: "not done" on Today, the plan and the technician's route until it is moved, logged or cancelled,
// and its tank is due again. Instants are pinned; days end where the site is.
import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { cancelVisit, moveVisit } from '@/lib/office/booking/commands'
import { visitsNotDone } from '@/lib/office/booking/not-done'
import { isNotDone } from '@/lib/office/booking/projection'
import { dueByAgreement, weekOf } from '@/lib/office/booking/queries'
import { moveVisitSchema } from '@/lib/office/booking/schema'
import type { Actor } from '@/lib/office/frame/actor'
import { todayOf } from '@/lib/office/today/queries'
import { applyVisitCommand } from '@/lib/office/visits/commands'
import { findRoute } from '@/lib/office/visits/queries'
import { testDatabase } from '../../setup/database'
import { accepted, fresh, look, makeBusiness, makeClient, makeSite, makeTank, makeVisit } from '../clients/register'

const NOW = new Date('2026-11-25T11:00:00Z') // Wednesday of week 48

/** A tank that is visited every fortnight, last on 11 November, with a visit booked for `date`. */
async function world(name: string, date = '2026-11-24') {
  const owner = await makeBusiness(name)
  const clientId = await makeClient(owner, { name: `Client of ${name}` })
  const tankId = await makeTank(owner, await makeSite(owner, clientId))
  const days = { anchorOn: new Date('2026-10-01T00:00:00Z'), startsOn: new Date('2026-10-01T00:00:00Z') }
  await look(owner, (tx) =>
    tx.agreement.create({
      data: {
        ...{ businessId: owner.businessId, id: newId(), clientId, tankId },
        ...days,
        everyDays: 14,
        visitMinutes: 50,
      },
    }),
  )
  await makeVisit(owner, tankId, '2026-11-10', 'done')
  const visitId = await makeVisit(owner, tankId, date, 'booked')
  await look(owner, (tx) => tx.visit.updateMany({ where: { id: visitId }, data: { technicianId: owner.personId } }))
  return { owner, tankId, visitId }
}

const missed = async (owner: Actor, now = NOW) =>
  (await todayOf(owner, now)).notDone.visits.map(({ visitId }) => visitId)
const dueOn = async (owner: Actor, now = NOW) =>
  (await dueByAgreement(owner, { week: '2026-W48', weeks: 3 }, now)).proposals.map(({ date, dueOn }) => [date, dueOn])

beforeAll(async () => {
  await testDatabase()
})

describe('a visit whose day went by with nothing logged', () => {
  test('is on Today, in the week and on the route, and its tank is due again', async () => {
    const { owner, visitId, tankId } = await world('Missed')
    const { notDone } = await todayOf(owner, NOW)
    expect(notDone.total).toBe(1)
    expect(notDone.visits).toMatchObject([
      { visitId, tankId, tankName: 'Hall', date: '2026-11-24', technicianId: owner.personId, technician: 'Robin Vale' },
    ])
    const week = await weekOf(owner, { week: '2026-W48' }, NOW)
    const shown = week.rows.flatMap(({ days }) => days.flatMap(({ visits }) => visits))
    expect(shown.map((visit) => [visit.id, visit.notDone])).toEqual([[visitId, true]])
    expect((await findRoute(owner, {}, NOW)).notDone.map((visit) => visit.visitId)).toEqual([visitId])
    expect((await findRoute(owner, { day: '2026-11-24' }, NOW)).notDone).toEqual([])
    // Fourteen days after the visit that took place, late already; a fortnight later again.
    expect(await dueOn(owner)).toEqual([
      ['2026-11-25', '2026-11-24'],
      ['2026-12-09', '2026-12-09'],
    ])
  })

  test('is nobody else’s, neither of another technician nor of another business', async () => {
    const { owner } = await world('Own missed')
    const other = await makeBusiness('No missed visits')
    expect(await missed(other)).toEqual([])
    expect(await look(owner, (tx) => visitsNotDone(tx, owner.businessId, NOW, newId()))).toEqual({
      visits: [],
      total: 0,
    })
  })

  test('moved to a day to come it is planned again, and the tank no longer due', async () => {
    const { owner, visitId } = await world('Missed and moved')
    const input = { ...fresh(owner), visitId, date: '2026-11-26', technicianId: owner.personId, plannedStart: '09:20' }
    accepted(await moveVisit(owner, moveVisitSchema.parse({ ...input, plannedMinutes: '45' })))
    expect(await missed(owner)).toEqual([])
    expect(await dueOn(owner)).toEqual([['2026-12-10', '2026-12-10']])
  })

  test('logged afterwards it took place', async () => {
    const { owner, visitId } = await world('Missed and logged')
    const { businessId } = owner
    const envelope = { version: 1, madeAt: NOW.toISOString(), deviceId: 'phone', deviceSeq: 1 } as const
    const result = await applyVisitCommand(owner, {
      ...envelope,
      id: newId(),
      businessId,
      visitId,
      kind: 'visit.arrive',
    })
    expect(result.ok).toBe(true)
    expect(await missed(owner)).toEqual([])
    // Arrived today: the beat runs from here.
    expect(await dueOn(owner)).toEqual([['2026-12-09', '2026-12-09']])
  })

  test('cancelled it is gone, and the tank stays due', async () => {
    const { owner, visitId } = await world('Missed and cancelled')
    accepted(await cancelVisit(owner, { ...fresh(owner), visitId, reason: 'Closed' }))
    expect(await missed(owner)).toEqual([])
    expect((await dueOn(owner))[0]).toEqual(['2026-11-25', '2026-11-24'])
  })

  test('a visit of today or of a day to come is not missed', async () => {
    const today = await world('Today', '2026-11-25')
    const ahead = await world('Ahead', '2026-11-27')
    expect([await missed(today.owner), await missed(ahead.owner)]).toEqual([[], []])
    expect(await dueOn(today.owner)).toEqual([['2026-12-09', '2026-12-09']])
  })
})

describe('the day ends where the site is', () => {
  // UTC offsets of 25 November 2026 (IANA time zone database, from memory): New York −5, Kiritimati +14, Auckland +13.
  test.each([
    ['America/New_York', '2026-11-26T04:59:00Z', '2026-11-26T05:00:00Z'],
    ['Pacific/Kiritimati', '2026-11-25T09:59:00Z', '2026-11-25T10:00:00Z'],
    ['Pacific/Auckland', '2026-11-25T10:59:00Z', '2026-11-25T11:00:00Z'],
    ['Europe/London', '2026-11-25T23:59:00Z', '2026-11-26T00:00:00Z'],
  ])('%s', async (timeZone, before, after) => {
    const { owner, visitId } = await world(`At ${timeZone}`, '2026-11-25')
    await look(owner, (tx) => tx.visit.updateMany({ where: { id: visitId }, data: { timeZone } }))
    const [still, over] = [new Date(before), new Date(after)]
    expect([await missed(owner, still), await missed(owner, over)]).toEqual([[], [visitId]])
    const visit = { state: 'booked', date: '2026-11-25', timeZone }
    expect([isNotDone(visit, still), isNotDone(visit, over)]).toEqual([false, true])
    expect(isNotDone({ ...visit, state: 'under_way' }, over)).toBe(false)
    // Booked until its day is over, due again from then on.
    const dueAt = async (now: Date) => (await dueOn(owner, now)).some(([, due]) => due === '2026-11-24')
    expect([await dueAt(still), await dueAt(over)]).toEqual([false, true])
  })
})

test('what is missed is found without reading the history', async () => {
  const { owner, visitId, tankId } = await world('Long history')
  const { businessId } = owner
  await look(owner, async (tx) => {
    await tx.$executeRaw`
      INSERT INTO visit (business_id, id, client_id, tank_id, site_id, kind, state, outcome, local_date, time_zone)
      SELECT business_id, gen_random_uuid(), client_id, tank_id, site_id, 'routine', 'done', 'done', date '2026-11-09' - day, time_zone
      FROM visit, generate_series(0, 5000) AS day WHERE business_id = ${businessId}::uuid AND id = ${visitId}::uuid`
  })
  /** Rows of visits that a piece of work reads, counted by Postgres. */
  const rowsRead = (work: (tx: Parameters<Parameters<typeof look>[1]>[0]) => Promise<unknown>) =>
    look(owner, async (tx) => {
      const count = async () => {
        const [row] = await tx.$queryRaw<{ read: number }[]>`
          SELECT (seq_tup_read + idx_tup_fetch)::int AS read FROM pg_stat_xact_user_tables WHERE relname = 'visit'`
        return row?.read ?? 0
      }
      const before = await count()
      await work(tx)
      return (await count()) - before
    })
  const all = await rowsRead((tx) => tx.visit.findMany({ where: { businessId, tankId } }))
  expect(all).toBeGreaterThan(5000)
  expect(await rowsRead((tx) => visitsNotDone(tx, businessId, NOW))).toBeLessThan(100)
})
