import { beforeAll, describe, expect, test } from 'vitest'
import { doneFollowUp, promiseFollowUp } from '@/lib/office/follow-ups/commands'
import { type PromiseFollowUpInput, promiseFollowUpSchema } from '@/lib/office/follow-ups/schema'
import type { Actor } from '@/lib/office/frame/actor'
import { todayOf } from '@/lib/office/today/queries'
import { testDatabase } from '../../setup/database'
import { accepted, fresh, look, makeBusiness, makeClient, makeSite, makeTank, makeVisit } from '../clients/register'

let owner: Actor
let other: Actor
let tankId: string
beforeAll(async () => {
  await testDatabase()
  owner = await makeBusiness('Harbour Lane')
  other = await makeBusiness('Another business')
  tankId = await makeTank(owner, await makeSite(owner, await makeClient(owner, { name: 'Marram Library' })))
})

const promise = (fields: Partial<PromiseFollowUpInput> = {}) =>
  promiseFollowUpSchema.parse({
    ...fresh(owner),
    tankId,
    what: 'Call: did the cup stay dry?',
    dueOn: '2026-11-25',
    personId: owner.personId,
    ...fields,
  })
const find = (id: string) =>
  look(owner, (tx) => tx.followUp.findUniqueOrThrow({ where: { businessId_id: { businessId: owner.businessId, id } } }))

describe('promises', () => {
  test('a promise made on a visit belongs to it and its client, and is audited', async () => {
    const visitId = await makeVisit(owner, tankId, '2026-11-20', 'done')
    const { followUpId } = accepted(await promiseFollowUp(owner, promise({ visitId })))
    const row = await find(followUpId)
    expect(row).toMatchObject({ visitId, doneAt: null, personId: owner.personId })
    expect(await look(owner, (tx) => tx.audit.count({ where: { entityId: followUpId, action: 'promise' } }))).toBe(1)
  })

  test('a technician keeps it, once; the first word stands', async () => {
    const { followUpId } = accepted(await promiseFollowUp(owner, promise()))
    const technician: Actor = { ...owner, roles: ['technician'] }
    accepted(await doneFollowUp(technician, { ...fresh(owner), followUpId, note: 'It stayed dry.' }))
    const again = await doneFollowUp(owner, { ...fresh(owner), followUpId, note: 'Again' })
    expect(again).toMatchObject({ ok: false, reason: 'already-done' })
    expect(await find(followUpId)).toMatchObject({ doneNote: 'It stayed dry.', doneById: owner.personId })
  })

  test('an accountant has no say, and another business sees nothing of it', async () => {
    const { followUpId } = accepted(await promiseFollowUp(owner, promise()))
    const before = await find(followUpId)
    const accountant: Actor = { ...owner, roles: ['accountant'] }
    expect(await doneFollowUp(accountant, { ...fresh(owner), followUpId, note: '' })).toMatchObject({
      reason: 'not-allowed',
    })
    expect(await doneFollowUp(other, { ...fresh(other), followUpId, note: '' })).toMatchObject({ reason: 'not-found' })
    expect(await promiseFollowUp(other, { ...promise(), ...fresh(other) })).toMatchObject({ reason: 'invalid' })
    expect((await todayOf(other)).promises).toEqual([])
    expect(await find(followUpId)).toEqual(before)
  })
})

describe('late is counted by the business’s own day', () => {
  // At 23:30 UTC on 24 November 2026 it is still the 24th in London (GMT) and already the 25th, 12:30, in Auckland
  // (NZDT, UTC+13: New Zealand Daylight Time Order 2007, from the last Sunday of September).
  const instant = new Date('2026-11-24T23:30:00Z')
  test.each([
    ['Europe/London', '2026-11-24', 0],
    ['Europe/London', '2026-11-23', 1],
    ['Pacific/Auckland', '2026-11-24', 1],
    ['Pacific/Auckland', '2026-11-25', 0],
  ])('%s, promised for %s: %i days late', async (timeZone, dueOn, daysLate) => {
    const there = await makeBusiness(`Business in ${timeZone}`)
    await look(there, (tx) => tx.business.update({ where: { id: there.businessId }, data: { timeZone } }))
    const tank = await makeTank(there, await makeSite(there, await makeClient(there, { name: 'Client' })))
    accepted(await promiseFollowUp(there, { ...promise(), ...fresh(there), tankId: tank, dueOn, personId: '' }))
    const { promises } = await todayOf(there, instant)
    expect(promises.map((row) => row.daysLate)).toEqual([daysLate])
  })

  test('what is due later than a week ahead, or kept, is not shown', async () => {
    const there = await makeBusiness('Later')
    const tank = await makeTank(there, await makeSite(there, await makeClient(there, { name: 'Client' })))
    const days = ['2026-12-01', '2026-12-02', '2026-11-20']
    for (const dueOn of days)
      accepted(await promiseFollowUp(there, { ...promise(), ...fresh(there), tankId: tank, dueOn, personId: '' }))
    const shown = (await todayOf(there, instant)).promises
    expect(shown.map((row) => row.dueOn)).toEqual(['2026-11-20', '2026-12-01'])
    accepted(await doneFollowUp(there, { ...fresh(there), followUpId: shown[0]?.id ?? '', note: '' }))
    expect((await todayOf(there, instant)).promises.map((row) => row.dueOn)).toEqual(['2026-12-01'])
  })
})
