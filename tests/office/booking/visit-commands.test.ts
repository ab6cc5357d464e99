import { setTimeout } from 'node:timers/promises'
import { Client } from 'pg'
import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { bookVisit, cancelVisit, moveVisit } from '@/lib/office/booking/commands'
import { cancelVisitSchema, type MoveVisitInput, moveVisitSchema } from '@/lib/office/booking/schema'
import type { Actor } from '@/lib/office/frame/actor'
import { askAs, testDatabase } from '../../setup/database'
import { accepted, fresh, look, makeBusiness, makeClient, makeSite, makeTank } from '../clients/register'
import { addTechnician, booking } from './book'

let owner: Actor
let other: Actor
let tankId: string
let secondTankId: string
beforeAll(async () => {
  await testDatabase()
  owner = await makeBusiness('Harbour Lane')
  other = await makeBusiness('Another business')
  const siteId = await makeSite(owner, await makeClient(owner, { name: 'Port Ellery School' }))
  tankId = await makeTank(owner, siteId, { name: 'Hall' })
  secondTankId = await makeTank(owner, siteId, { name: 'Library' })
})

const find = (visitId: string) =>
  look(owner, (tx) =>
    tx.visit.findUniqueOrThrow({
      where: { businessId_id: { businessId: owner.businessId, id: visitId } },
      include: { visitPrivate: true },
    }),
  )
const move = (visitId: string, fields: Partial<MoveVisitInput> = {}) =>
  moveVisitSchema.parse({
    ...fresh(owner),
    visitId,
    date: '2026-11-27',
    technicianId: owner.personId,
    plannedStart: '11:00',
    plannedMinutes: 30,
    ...fields,
  })

describe('booking', () => {
  test('keeps the promise (window) apart from the plan (start and minutes)', async () => {
    const input = booking(owner, tankId, { windowStart: '09:00', windowEnd: '10:30', whatFor: 'Water change' })
    const { visitId } = accepted(await bookVisit(owner, input))
    expect(visitId).toBe(input.commandId)
    const visit = await find(visitId)
    expect(visit).toMatchObject({
      state: 'booked',
      timeZone: 'Europe/London',
      windowStart: '09:00',
      windowEnd: '10:30',
      plannedMinutes: 45,
      overlapAccepted: false,
      whatFor: 'Water change',
    })
    expect(visit.localDate.toISOString()).toBe('2026-11-26T00:00:00.000Z')
    expect(visit.plannedStart?.toISOString()).toBe('2026-11-26T09:20:00.000Z')
    expect(visit.plannedEnd?.toISOString()).toBe('2026-11-26T10:05:00.000Z')
    const audits = await look(owner, (tx) => tx.audit.findMany({ where: { entityId: visitId } }))
    expect(audits.map(({ action, personId }) => [action, personId])).toEqual([['book', owner.personId]])
  })

  test('the wall clock is the site’s: the same words in another zone are another instant', async () => {
    const siteId = await makeSite(owner, await makeClient(owner, { name: 'Aran Bay Hotel' }))
    await look(owner, (tx) =>
      tx.site.update({
        where: { businessId_id: { businessId: owner.businessId, id: siteId } },
        data: { timeZone: 'Europe/Paris' },
      }),
    )
    const paris = await makeTank(owner, siteId, { name: 'Lobby' })
    const technicianId = await addTechnician(owner, 'Ines')
    const { visitId } = accepted(await bookVisit(owner, booking(owner, paris, { technicianId })))
    expect((await find(visitId)).plannedStart?.toISOString()).toBe('2026-11-26T08:20:00.000Z')
  })

  test('a day alone is enough, and overlaps nothing', async () => {
    const input = booking(owner, tankId, { plannedStart: '', technicianId: '' })
    const visit = await find(accepted(await bookVisit(owner, input)).visitId)
    expect([visit.plannedStart, visit.plannedEnd, visit.technicianId]).toEqual([null, null, null])
    accepted(await bookVisit(owner, booking(owner, secondTankId, { plannedStart: '' })))
  })

  test('an hour the clocks skip is refused in words, and nothing is booked', async () => {
    // 28 March 2027, 01:00 to 02:00 in the United Kingdom: The Summer Time Order 2002.
    const input = booking(owner, tankId, { date: '2027-03-28', plannedStart: '01:30' })
    const answer = await bookVisit(owner, input)
    expect(answer).toMatchObject({ ok: false, reason: 'invalid' })
    expect(JSON.stringify(answer)).toContain('01:30 does not exist on 2027-03-28')
    const window = booking(owner, tankId, {
      date: '2027-03-28',
      plannedStart: '',
      windowStart: '01:15',
      windowEnd: '03:00',
    })
    expect(JSON.stringify(await bookVisit(owner, window))).toContain('01:15 does not exist')
    expect(
      await look(owner, (tx) => tx.visit.count({ where: { id: { in: [input.commandId, window.commandId] } } })),
    ).toBe(0)
  })

  test('the window must end after it begins and hold the planned start', () => {
    expect(() => booking(owner, tankId, { windowStart: '10:00', windowEnd: '09:00' })).toThrow('must end after')
    expect(() => booking(owner, tankId, { windowStart: '10:00', windowEnd: '11:00' })).toThrow('10:00 to 11:00')
    expect(() => booking(owner, tankId, { windowStart: '09:00', windowEnd: '' })).toThrow('Until when')
  })

  test('only somebody who goes on the round can be planned, and only the owner plans', async () => {
    const office = newId()
    await look(owner, (tx) => tx.person.create({ data: { businessId: owner.businessId, id: office, name: 'Office' } }))
    expect(await bookVisit(owner, booking(owner, tankId, { technicianId: office }))).toMatchObject({
      reason: 'invalid',
    })
    const technician: Actor = { ...owner, roles: ['technician'] }
    expect(await bookVisit(technician, booking(owner, tankId))).toMatchObject({ reason: 'not-allowed' })
  })
})

describe('an overlapping plan needs a yes', () => {
  const day = '2026-12-01'
  test('it names the other visit, and is booked with a yes; one after the other needs none', async () => {
    const technicianId = await addTechnician(owner, 'Priya')
    const plan = { date: day, technicianId }
    accepted(await bookVisit(owner, booking(owner, tankId, plan)))
    accepted(await bookVisit(owner, booking(owner, secondTankId, { ...plan, plannedStart: '10:05' })))
    const third = booking(owner, secondTankId, { ...plan, plannedStart: '09:50', plannedMinutes: 10 })
    const answer = await bookVisit(owner, third)
    expect(answer).toMatchObject({ ok: false, reason: 'overlap' })
    expect(!answer.ok && answer.words).toContain('Priya is already booked then: Hall, Main building (09:20–10:05)')
    // The same command again, with the yes.
    accepted(await bookVisit(owner, { ...third, overlapAccepted: true }))
    expect((await find(third.commandId)).overlapAccepted).toBe(true)
    // The accepted overlap is a visit like any other: what meets only it is asked about too.
    const fourth = booking(owner, tankId, { ...plan, plannedStart: '09:00', plannedMinutes: 55, date: '2026-12-02' })
    accepted(await bookVisit(owner, { ...fourth, overlapAccepted: true }))
    expect((await find(fourth.commandId)).overlapAccepted).toBe(false)
  })

  test('an accepted overlap still stands in the way of the next visit', async () => {
    const technicianId = await addTechnician(owner, 'Bea')
    const plan = { date: day, technicianId }
    const first = accepted(await bookVisit(owner, booking(owner, tankId, plan)))
    const accepting = booking(owner, secondTankId, {
      ...plan,
      plannedStart: '10:00',
      plannedMinutes: 60,
      overlapAccepted: true,
    })
    accepted(await bookVisit(owner, accepting))
    accepted(await cancelVisit(owner, { ...fresh(owner), visitId: first.visitId, reason: 'School closed' }))
    const next = await bookVisit(owner, booking(owner, tankId, { ...plan, plannedStart: '10:30' }))
    expect(next).toMatchObject({ ok: false, reason: 'overlap' })
    expect(!next.ok && next.words).toContain('Library')
  })

  test('another technician, or a cancelled visit, is no overlap', async () => {
    const [one, two] = [await addTechnician(owner, 'Tomas'), await addTechnician(owner, 'Wren')]
    const { visitId } = accepted(await bookVisit(owner, booking(owner, tankId, { date: day, technicianId: one })))
    accepted(await bookVisit(owner, booking(owner, secondTankId, { date: day, technicianId: two })))
    accepted(await cancelVisit(owner, { ...fresh(owner), visitId, reason: 'Closed for the day' }))
    accepted(await bookVisit(owner, booking(owner, secondTankId, { date: day, technicianId: one })))
  })

  test('of bookings made at the same moment exactly one goes through without a yes', async () => {
    for (let round = 0; round < 5; round++) {
      const technicianId = await addTechnician(owner, `Technician ${round}`)
      const answers = await Promise.all(
        [tankId, secondTankId, tankId, secondTankId].map((tank, index) =>
          bookVisit(owner, booking(owner, tank, { date: day, technicianId, plannedStart: `09:2${index}` })),
        ),
      )
      expect(answers.filter((answer) => answer.ok)).toHaveLength(1)
      expect(answers.filter((answer) => !answer.ok && answer.reason === 'overlap')).toHaveLength(3)
    }
  })

  test('who writes without the lock is stopped by the database, with the same refusal', async () => {
    const technicianId = await addTechnician(owner, 'Kit')
    const { appUrl } = await testDatabase()
    const rival = new Client({ connectionString: appUrl })
    await rival.connect()
    try {
      await rival.query('begin')
      await rival.query('set local role tankround_office')
      await rival.query(`select set_config('app.business_id', $1, true)`, [owner.businessId])
      await rival.query(
        `insert into visit (business_id, id, client_id, tank_id, site_id, technician_id, kind, state, local_date, time_zone, planned_start, planned_end)
         select business_id, $1::uuid, client_id, id, site_id, $2::uuid, 'routine', 'booked', '2026-12-01', 'Europe/London',
           '2026-12-01T09:00Z', '2026-12-01T10:00Z' from tank where id = $3`,
        [newId(), technicianId, tankId],
      )
      const waiting = bookVisit(owner, booking(owner, secondTankId, { date: day, technicianId }))
      await setTimeout(300)
      await rival.query('commit')
      expect(await waiting).toMatchObject({ ok: false, reason: 'overlap' })
    } finally {
      await rival.end()
    }
  })
})

describe('moving and cancelling', () => {
  test('a moved visit has its new day, keeps what it is for, and both stand in the audit', async () => {
    const technicianId = await addTechnician(owner, 'Ash')
    const plan = { date: '2026-12-03', technicianId, whatFor: 'Check the heater' }
    const { visitId } = accepted(await bookVisit(owner, booking(owner, tankId, plan)))
    accepted(await moveVisit(owner, move(visitId, { technicianId, date: '2026-12-03', plannedStart: '09:30' })))
    const visit = await find(visitId)
    expect(visit).toMatchObject({ whatFor: 'Check the heater', plannedMinutes: 30, overlapAccepted: false })
    const audits = await look(owner, (tx) =>
      tx.audit.findMany({ where: { entityId: visitId, action: 'move' }, select: { before: true, after: true } }),
    )
    expect(audits).toMatchObject([
      { before: { plannedStart: '2026-12-03T09:20:00.000Z' }, after: { plannedStart: '2026-12-03T09:30:00.000Z' } },
    ])
  })

  test('a move onto another visit needs a yes too', async () => {
    const technicianId = await addTechnician(owner, 'Noor')
    const plan = { date: '2026-12-04', technicianId }
    accepted(await bookVisit(owner, booking(owner, tankId, plan)))
    const { visitId } = accepted(
      await bookVisit(owner, booking(owner, secondTankId, { ...plan, plannedStart: '14:00' })),
    )
    const onto = move(visitId, { ...plan, plannedStart: '09:30' })
    expect(await moveVisit(owner, onto)).toMatchObject({ reason: 'overlap' })
    expect((await find(visitId)).plannedStart?.toISOString()).toBe('2026-12-04T14:00:00.000Z')
    accepted(await moveVisit(owner, { ...onto, overlapAccepted: true }))
  })

  test('cancelling needs a reason, which the client never sees', async () => {
    const { visitId } = accepted(await bookVisit(owner, booking(owner, tankId, { date: '2026-12-07' })))
    expect(cancelVisitSchema.safeParse({ ...fresh(owner), visitId, reason: '  ' }).success).toBe(false)
    const without = await cancelVisit(owner, { ...fresh(owner), visitId, reason: ' ' })
    expect(without).toMatchObject({ ok: false, reason: 'invalid' })
    accepted(await cancelVisit(owner, { ...fresh(owner), visitId, reason: 'Owes us for June' }))
    const visit = await find(visitId)
    expect([visit.state, visit.visitPrivate?.cancelledReason]).toEqual(['cancelled', 'Owes us for June'])
    const who = { role: 'client', businessId: owner.businessId, clientId: visit.clientId } as const
    const seen = await askAs(who, (client) => client.query('select state from visit where id = $1', [visitId]))
    expect(seen.rows).toEqual([{ state: 'cancelled' }])
    await expect(askAs(who, (client) => client.query('select * from visit_private'))).rejects.toThrow(
      'permission denied',
    )
  })

  test.each(['under_way', 'done', 'cancelled'])('a visit that is %s stays as it is', async (state) => {
    const { visitId } = accepted(await bookVisit(owner, booking(owner, tankId, { plannedStart: '' })))
    await look(owner, (tx) => tx.visit.updateMany({ where: { id: visitId }, data: { state } }))
    const before = await find(visitId)
    expect(await moveVisit(owner, move(visitId))).toMatchObject({ reason: 'not-open' })
    expect(await cancelVisit(owner, { ...fresh(owner), visitId, reason: 'Too late' })).toMatchObject({
      reason: 'not-open',
    })
    expect(await find(visitId)).toEqual(before)
  })
})

describe('a second business', () => {
  test('neither books our tanks nor plans our people, moves or cancels our visits', async () => {
    const { visitId } = accepted(await bookVisit(owner, booking(owner, tankId, { date: '2026-12-09' })))
    const before = await find(visitId)
    expect(await bookVisit(other, booking(other, tankId))).toMatchObject({ reason: 'invalid' })
    const theirSite = await makeSite(other, await makeClient(other, { name: 'Theirs' }))
    const theirTank = await makeTank(other, theirSite)
    const planned = await bookVisit(other, booking(other, theirTank, { technicianId: owner.personId }))
    expect(planned).toMatchObject({ reason: 'invalid', fields: { technicianId: [expect.any(String)] } })
    expect(await moveVisit(other, { ...move(visitId), ...fresh(other), technicianId: '' })).toMatchObject({
      reason: 'not-found',
    })
    const cancelled = await cancelVisit(other, { ...fresh(other), visitId, reason: 'Not ours' })
    expect(cancelled).toMatchObject({ reason: 'not-found' })
    expect(await cancelVisit(other, { ...fresh(owner), visitId, reason: 'Not ours' })).toMatchObject({
      reason: 'other-business',
    })
    expect(await find(visitId)).toEqual(before)
    expect(await look(other, (tx) => tx.visit.count())).toBe(0)
  })
})
