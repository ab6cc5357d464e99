import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { moveVisit } from '@/lib/office/booking/commands'
import type { Actor } from '@/lib/office/frame/actor'
import { addDays } from '@/lib/office/frame/days'
import { addReservoir, archiveReservoir, correctLevel, editReservoir, recordLevel } from '@/lib/office/refills/commands'
import { findReservoir, refillsOfTankIn, shortRefills } from '@/lib/office/refills/queries'
import {
  addReservoirSchema,
  EMPTY_RESERVOIR,
  editReservoirSchema,
  recordLevelSchema,
} from '@/lib/office/refills/schema'
import { mergeTanks } from '@/lib/office/tanks/commands'
import { applyVisitCommand } from '@/lib/office/visits/commands'
import { projectVisit } from '@/lib/office/visits/projection'
import { findWorkPage } from '@/lib/office/visits/queries'
import { RECORDED, recordOf } from '@/lib/office/visits/read-record'
import { NOTHING_BEFORE } from '@/lib/office/visits/record'
import { type VisitCommandInput, visitCommandSchema } from '@/lib/office/visits/schema'
import { testDatabase } from '../../setup/database'
import { pinClock } from '../../setup/pinned-clock'
import { accepted, fresh, look, makeBusiness, makeClient, makeSite, makeTank, makeVisit } from '../clients/register'

const NOW = new Date('2026-11-25T11:00:00Z')
const TODAY = '2026-11-25'
const from = (days: number) => addDays(TODAY, days)
const at = { today: TODAY, locale: 'en-GB' }

let owner: Actor
let other: Actor
let tankId: string
beforeAll(async () => {
  pinClock(NOW)
  await testDatabase()
  owner = await makeBusiness('Harbour Lane')
  other = await makeBusiness('Another business')
  tankId = await makeTank(owner, await makeSite(owner, await makeClient(owner, { name: 'Marram Library' })))
})

const typed = (fields: object = {}) => ({
  ...{ ...EMPTY_RESERVOIR, kind: 'top-up-water', label: 'Top-up water', unit: 'L', capacity: '25', ...fields },
})
async function container(tank = tankId, fields: object = {}): Promise<string> {
  const input = addReservoirSchema.parse({ ...fresh(owner), tankId: tank, ...typed(fields) })
  return accepted(await addReservoir(owner, input)).reservoirId
}
async function level(
  reservoirId: string,
  measuredOn: string,
  levelBefore: string,
  levelAfter: string,
): Promise<string> {
  const input = recordLevelSchema.parse({ ...fresh(owner), reservoirId, measuredOn, levelBefore, levelAfter })
  accepted(await recordLevel(owner, input))
  return input.commandId
}
/** Two litres a day, full again a day ago. */
async function usedWeekly(tank = tankId): Promise<string> {
  const id = await container(tank)
  for (const [ago, before] of [
    [22, ''],
    [15, '11'],
    [8, '10.6'],
    [1, '11.2'],
  ] as const)
    await level(id, from(-ago), before, '25')
  return id
}
const freshTank = async (name: string) =>
  makeTank(owner, await makeSite(owner, await makeClient(owner, { name })), { name })
const refillsAt = async (visitId: string) => (await findWorkPage(owner, visitId, NOW))?.refills ?? []
const short = () => look(owner, (tx) => shortRefills(tx, owner.businessId, at))
const move = (visitId: string, date: string) =>
  moveVisit(owner, {
    ...{ ...fresh(owner), visitId, date, windowStart: '', windowEnd: '', technicianId: '', plannedStart: '' },
    ...{ plannedMinutes: 45, overlapAccepted: false },
  })

describe('the watch', () => {
  test('follows a visit that is moved, says from when to when, and falls silent when it is moved back', async () => {
    const tank = await freshTank('Moved')
    const reservoirId = await usedWeekly(tank)
    const visitId = await makeVisit(owner, tank, from(6), 'booked')
    expect((await short()).filter((one) => one.tankId === tank)).toEqual([])
    accepted(await move(visitId, from(20)))
    const [line] = (await short()).filter((one) => one.tankId === tank)
    expect(line).toMatchObject({
      reservoirId,
      nextVisit: { visitId, on: from(20), movedFrom: from(6) },
      becauseMoved: true,
    })
    expect(line?.words).toContain('it will not last, almost surely')
    accepted(await move(visitId, from(6)))
    expect((await short()).filter((one) => one.tankId === tank)).toEqual([])
  })

  test('takes the next date of the agreement where nothing is booked', async () => {
    const tank = await freshTank('By agreement')
    await usedWeekly(tank)
    await makeVisit(owner, tank, from(-1), 'done')
    await look(owner, async (tx) => {
      const { clientId } = await tx.tank.findFirstOrThrow({ where: { id: tank } })
      const days = { everyDays: 28, anchorOn: new Date(from(-29)), startsOn: new Date(from(-200)) }
      await tx.agreement.create({
        data: { businessId: owner.businessId, id: newId(), clientId, tankId: tank, ...days },
      })
    })
    const [line] = (await short()).filter((one) => one.tankId === tank)
    expect(line?.nextVisit).toEqual({ visitId: null, on: from(27), movedFrom: null })
    expect(line?.words).toContain('by the agreement')
  })

  test('says nothing of containers that the site fills, that are archived, or of which too little is known', async () => {
    const tank = await freshTank('Quiet')
    await makeVisit(owner, tank, from(60), 'booked')
    const once = await container(tank, { label: 'New' })
    await level(once, from(-1), '', '25')
    const theirs = await container(tank, { label: 'Theirs', filledBy: 'site-staff' })
    for (const ago of [15, 8, 1]) await level(theirs, from(-ago), '10', '25')
    const gone = await usedWeekly(tank)
    accepted(await archiveReservoir(owner, { ...fresh(owner), id: gone }))
    expect((await short()).filter((one) => one.tankId === tank)).toEqual([])
    const views = await look(owner, (tx) => refillsOfTankIn(tx, owner.businessId, [tank], at))
    expect(views.map(({ label, verdict }) => [label, verdict])).toEqual([
      ['New', 'unknown'],
      ['Theirs', 'will-not-last'],
    ])
    expect(views[0]?.words).toContain('one more reading and we can tell')
    expect(views[1]?.words).toContain('The people on site fill it')
  })
})

describe('containers', () => {
  test('keep their unit once levels stand in it', async () => {
    const id = await usedWeekly()
    const input = editReservoirSchema.parse({ ...fresh(owner), reservoirId: id, ...typed({ unit: 'US gal' }) })
    expect(await editReservoir(owner, input)).toMatchObject({ ok: false, reason: 'invalid' })
    const same = editReservoirSchema.parse({ ...fresh(owner), reservoirId: id, ...typed({ capacity: '30' }) })
    accepted(await editReservoir(owner, same))
    expect((await findReservoir(owner, tankId, id))?.capacity).toBe(30)
  })
  test('refuse figures that can be read two ways, an empty mark above the full one, a unit of something else', () => {
    const parse = (fields: object) =>
      addReservoirSchema.safeParse({ ...fresh(owner), tankId, ...typed(fields) }).success
    expect(parse({})).toBe(true)
    expect(parse({ capacity: '1,500' })).toBe(false)
    expect(parse({ emptyAt: '25' })).toBe(false)
    expect(parse({ unit: 'kg' })).toBe(false)
  })
  test('are another business’s secret, and levels are nobody’s but technicians’ and owner’s', async () => {
    const id = await usedWeekly()
    expect(await findReservoir(other, tankId, id)).toBeNull()
    const told = { reservoirId: id, measuredOn: TODAY, levelBefore: '3', levelAfter: '' }
    expect(await recordLevel(other, { ...fresh(other), ...told })).toMatchObject({ reason: 'not-found' })
    const accountant: Actor = { ...owner, roles: ['accountant'] }
    expect(await recordLevel(accountant, { ...fresh(owner), ...told })).toMatchObject({ reason: 'not-allowed' })
    expect(await recordLevel(owner, { ...fresh(owner), ...told, measuredOn: from(1) })).toMatchObject({
      reason: 'invalid',
    })
    expect(await recordLevel(owner, { ...fresh(owner), ...told, levelBefore: '26' })).toMatchObject({
      reason: 'invalid',
    })
    expect((await findReservoir(owner, tankId, id))?.levels).toHaveLength(4)
  })
  test('that are filled are never left with less than was found, unless they were emptied first', async () => {
    const tell = async (reservoirId: string, levelBefore: string, levelAfter: string) =>
      recordLevel(
        owner,
        recordLevelSchema.parse({ ...fresh(owner), reservoirId, measuredOn: TODAY, levelBefore, levelAfter }),
      )
    const water = await container()
    const less = await tell(water, '20', '8,8')
    if (less.ok || less.reason !== 'invalid') throw new Error('a filling to less was taken')
    expect(less.fields.levelAfter?.[0]).toContain('Top-up water: you found 20 L and leave 8.8 L, which is less.')
    accepted(await tell(water, '20', '20'))
    accepted(await tell(water, '20', '0'))
    accepted(await tell(water, '20', '8,8'))
    expect((await findReservoir(owner, tankId, water))?.levels.at(-1)).toMatchObject({ before: 20, after: 8.8 })
    const cylinder = await container(tankId, { kind: 'gas', unit: 'kg', capacity: '4.9', label: 'Gas' })
    accepted(await tell(cylinder, '4.2', '4'))
    expect(await look(owner, (tx) => tx.reservoirLevel.count({ where: { reservoirId: water } }))).toBe(3)
  })
  test('go over with a duplicate tank that is merged', async () => {
    const site = await makeSite(owner, await makeClient(owner, { name: 'Twice' }))
    const [survivorId, duplicateId] = [await makeTank(owner, site), await makeTank(owner, site)]
    const id = await usedWeekly(duplicateId)
    accepted(await mergeTanks(owner, { ...fresh(owner), survivorId, duplicateId }))
    expect((await findReservoir(owner, survivorId, id))?.levels).toHaveLength(4)
  })
  test('a wrong level is corrected once, by a row beside it', async () => {
    const id = await container()
    await level(id, from(-8), '', '25')
    const wrong = await level(id, from(-1), '1', '25')
    const right = { levelId: wrong, measuredOn: from(-1), levelBefore: '11', levelAfter: '25' }
    accepted(await correctLevel(owner, { ...fresh(owner), ...right }))
    expect(await correctLevel(owner, { ...fresh(owner), ...right })).toMatchObject({ reason: 'already-so' })
    expect((await findReservoir(owner, tankId, id))?.levels.map(({ before }) => before)).toEqual([null, 11])
    expect(await look(owner, (tx) => tx.reservoirLevel.count({ where: { reservoirId: id } }))).toBe(3)
  })
})

describe('at a visit', () => {
  test('the level before and the level after may be said one after the other, in any order of arrival', async () => {
    const tank = await freshTank('On the phone')
    const id = await usedWeekly(tank)
    const visitId = await makeVisit(owner, tank, TODAY, 'booked')
    const start = NOW.getTime() - 3_600_000
    const say = (minute: number, said: object) => {
      const envelope = { id: newId(), businessId: owner.businessId, visitId, version: 1, deviceId: 'phone-a' }
      const madeAt = new Date(start + minute * 60_000).toISOString()
      // One of the union's members with its own envelope.
      return { ...envelope, madeAt, deviceSeq: minute, ...said } as VisitCommandInput
    }
    const levels = (levelBefore: number | null, levelAfter: number | null) => ({
      ...{ kind: 'visit.levels', levels: [{ reservoirId: id, levelBefore, levelAfter }] },
    })
    const commands = [
      say(1, { kind: 'visit.arrive' }),
      say(2, levels(9, null)),
      say(9, levels(null, 25)),
      say(3, levels(11, null)),
    ]
    for (const command of commands) accepted(await applyVisitCommand(owner, command))
    const recordAt = (id: string) =>
      look(owner, async (tx) => {
        const where = { businessId: owner.businessId, id }
        return recordOf(tx, owner.businessId, await tx.visit.findFirstOrThrow({ where, include: RECORDED }))
      })
    const record = projectVisit(
      NOTHING_BEFORE,
      commands.map((command) => visitCommandSchema.parse(command)),
    )
    expect(record.levels).toEqual([{ reservoirId: id, levelBefore: 11, levelAfter: 25 }])
    expect(await recordAt(visitId)).toEqual(record)
    const [seen] = await refillsAt(visitId)
    expect(seen?.said).toEqual({ before: 11, after: 25 })
    const tooMuch = await applyVisitCommand(owner, say(10, levels(null, 26)))
    expect(tooMuch).toMatchObject({ ok: false, reason: 'does-not-fit' })
    const elsewhere = await container()
    const strange = say(11, {
      kind: 'visit.levels',
      levels: [{ reservoirId: elsewhere, levelBefore: 1, levelAfter: null }],
    })
    expect(await applyVisitCommand(owner, strange)).toMatchObject({ ok: false, reason: 'does-not-fit' })
  })
  test('a filling to less than was found is refused, also where what was found was said before', async () => {
    const tank = await freshTank('Less')
    const id = await container(tank)
    const visitId = await makeVisit(owner, tank, TODAY, 'booked')
    const start = NOW.getTime() - 3_600_000
    const say = (minute: number, levelBefore: number | null, levelAfter: number | null) =>
      applyVisitCommand(owner, {
        ...{ id: newId(), businessId: owner.businessId, visitId, version: 1, deviceId: 'phone-a', deviceSeq: minute },
        madeAt: new Date(start + minute * 60_000).toISOString(),
        ...{ kind: 'visit.levels', levels: [{ reservoirId: id, levelBefore, levelAfter }] },
      })
    const words = expect.stringContaining('you found 20 L and leave 5 L, which is less')
    expect(await say(1, 20, 5)).toMatchObject({ ok: false, words })
    accepted(await say(2, 20, null))
    expect(await say(3, null, 5)).toMatchObject({ ok: false, words })
    accepted(await say(4, null, 0))
    accepted(await say(5, null, 5))
    const [seen] = await refillsAt(visitId)
    expect(seen?.said).toEqual({ before: 20, after: 5 })
  })
  test('it says how far to fill to last until the visit after', async () => {
    const tank = await freshTank('Fill to')
    await usedWeekly(tank)
    const visitId = await makeVisit(owner, tank, TODAY, 'booked')
    await makeVisit(owner, tank, from(7), 'booked')
    const [seen] = await refillsAt(visitId)
    expect(seen?.fill).toMatchObject({ fits: true, untilOn: from(10) })
    expect(seen?.fill?.level).toBeGreaterThan(20)
  })
})
