import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { bookVisit, cancelVisit } from '@/lib/office/booking/commands'
import { bookingPage, dueByAgreement, movePage, requests, weekOf } from '@/lib/office/booking/queries'
import type { Actor } from '@/lib/office/frame/actor'
import { testDatabase } from '../../setup/database'
import { accepted, fresh, look, makeBusiness, makeClient, makeSite, makeTank, makeVisit } from '../clients/register'
import { addTechnician, askForVisit, booking } from './book'

const NOW = new Date('2026-11-25T11:00:00Z') // Wednesday of week 48
let owner: Actor
let other: Actor
let tankId: string
let priya: string
beforeAll(async () => {
  await testDatabase()
  owner = await makeBusiness('Harbour Lane')
  other = await makeBusiness('Another business')
  const siteId = await makeSite(owner, await makeClient(owner, { name: 'Port Ellery School' }), { name: 'School' })
  tankId = await makeTank(owner, siteId, { name: 'Hall' })
  priya = await addTechnician(owner, 'Priya')
})

describe('the week', () => {
  test('holds each technician’s visits by day, in the order of the clock; what is cancelled is only counted', async () => {
    const plan = { technicianId: priya, date: '2026-11-26' }
    const book = async (fields: Parameters<typeof booking>[2]) =>
      accepted(await bookVisit(owner, booking(owner, tankId, { ...plan, ...fields }))).visitId
    const untimed = await book({ plannedStart: '' })
    const late = await book({ plannedStart: '14:00' })
    const early = await book({ plannedStart: '08:00' })
    const sunday = await book({ date: '2026-11-29' })
    await book({ date: '2026-11-30' })
    const gone = await book({ plannedStart: '17:00' })
    accepted(await cancelVisit(owner, { ...fresh(owner), visitId: gone, reason: 'Closed' }))
    const nobodys = await book({ technicianId: '', plannedStart: '' })
    const week = await weekOf(owner, { week: '2026-W48' }, NOW)
    expect([week.days[0], week.days[6], week.previousWeek, week.nextWeek]).toEqual([
      '2026-11-23',
      '2026-11-29',
      '2026-W47',
      '2026-W49',
    ])
    const row = week.rows.find(({ technicianId }) => technicianId === priya)
    expect(row?.days.map(({ visits }) => visits.map(({ id }) => id))).toEqual([
      [],
      [],
      [],
      [early, late, untimed],
      [],
      [],
      [sunday],
    ])
    expect(row?.plannedMinutes).toBe(4 * 45)
    expect(week.cancelled).toBe(1)
    expect(week.rows[0]?.days[3]?.visits.map(({ id }) => id)).toEqual([nobodys])
    const hers = await weekOf(owner, { week: '2026-W48', technicianId: priya }, NOW)
    expect(hers.rows.map(({ name }) => name)).toEqual(['Priya'])
    const nonsense = await weekOf(owner, { week: '2027-W53' }, NOW)
    expect(nonsense.week).toBe('2026-W48')
    const theirs = await weekOf(other, { week: '2026-W48' }, NOW)
    expect(theirs.rows.flatMap(({ days }) => days.flatMap(({ visits }) => visits))).toEqual([])
  })
})

describe('what is due by agreement', () => {
  test('is proposed with the minutes agreed and whoever came last, and no more once it is booked', async () => {
    const there = await makeBusiness('Agreements')
    const technicianId = await addTechnician(there, 'Tomas')
    const clientId = await makeClient(there, { name: 'Otter Green' })
    const tank = await makeTank(there, await makeSite(there, clientId))
    await look(there, (tx) =>
      tx.agreement.create({
        data: {
          businessId: there.businessId,
          id: newId(),
          clientId,
          tankId: tank,
          everyDays: 14,
          anchorOn: new Date('2026-10-01T00:00:00Z'),
          startsOn: new Date('2026-10-01T00:00:00Z'),
          visitMinutes: 50,
        },
      }),
    )
    const last = await makeVisit(there, tank, '2026-11-13', 'done')
    await look(there, (tx) =>
      tx.visit.updateMany({ where: { id: last }, data: { technicianId, windowStart: '09:00', windowEnd: '10:30' } }),
    )
    // A call-out, or a visit on which nobody was let in, does not stand for the routine one.
    const shut = await makeVisit(there, tank, '2026-11-20', 'done')
    await look(there, (tx) => tx.visit.updateMany({ where: { id: shut }, data: { outcome: 'no_access' } }))
    const due = await dueByAgreement(there, { week: '2026-W48', weeks: 4 }, NOW)
    expect([due.from, due.to]).toEqual(['2026-11-25', '2026-12-20'])
    expect(due.proposals.map(({ date }) => date)).toEqual(['2026-11-27', '2026-12-11'])
    expect(due.proposals[0]).toMatchObject({ visitMinutes: 50, technicianId, windowStart: '09:00', windowEnd: '10:30' })
    accepted(await bookVisit(there, booking(there, tank, { date: '2026-11-27', technicianId })))
    const after = await dueByAgreement(there, { week: '2026-W48', weeks: 4 }, NOW)
    expect(after.proposals.map(({ date }) => date)).toEqual(['2026-12-11'])
    expect((await dueByAgreement(other, { week: '2026-W48', weeks: 4 }, NOW)).proposals).toEqual([])
    expect((await dueByAgreement(there, { week: '2026-W40', weeks: 1 }, NOW)).proposals).toEqual([])
  })
})

describe('the booking form', () => {
  test('finds tanks by every word, shows the tank, and the technician’s day beside', async () => {
    const asked = { search: 'hall ellery' }
    expect((await bookingPage(owner, asked, NOW)).found.map(({ name }) => name)).toEqual(['Hall'])
    expect((await bookingPage(owner, { search: 'hall nowhere' }, NOW)).found).toEqual([])
    const page = await bookingPage(owner, { search: '', tankId, date: '2026-11-29', technicianId: priya }, NOW)
    expect(page.tank).toMatchObject({ name: 'Hall', siteName: 'School', timeZone: 'Europe/London' })
    expect(page.day?.visits.map(({ start, end }) => [start, end])).toEqual([['09:20', '10:05']])
    const visitId = page.day?.visits[0]?.id ?? ''
    expect((await movePage(owner, visitId, {}, NOW))?.visit.date).toBe('2026-11-29')
    expect(await movePage(other, visitId, {}, NOW)).toBeNull()
    expect((await bookingPage(other, { search: '', tankId }, NOW)).tank).toBeNull()
  })

  test('a request brings its tank; another business has none of it', async () => {
    const requestId = await askForVisit(owner, tankId, 'Cloudy since Sunday')
    const page = await bookingPage(owner, { search: '', requestId }, NOW)
    expect([page.request?.words, page.tank?.id]).toEqual(['Cloudy since Sunday', tankId])
    expect((await requests(owner)).open.map(({ id }) => id)).toEqual([requestId])
    expect((await requests(other)).open).toEqual([])
    expect((await bookingPage(other, { search: '', requestId }, NOW)).request).toBeNull()
  })
})
