import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { asDbDate } from '@/lib/office/frame/days'
import { addLot, editLot, takeBackUse, tickLot } from '@/lib/office/lots/commands'
import { lotList, lotPage } from '@/lib/office/lots/queries'
import { todayOf } from '@/lib/office/today/queries'
import { findWorkPage } from '@/lib/office/visits/queries'
import { inScope } from '@/lib/platform/db/scope'
import { seededRandom } from '@/lib/science'
import { bookVisit, makePhone, makeRound, type Round } from '../visits/round'
import { project, recordOf, sendAs } from '../visits/say'

// Truth: thirty tanks measured weekly; the first ten get a lot of salt on 5 October and fall by 0.3 meq/L, nothing else moves.
const NOW = new Date('2026-11-26T10:00:00Z')
const FIRST_DAY = '2026-10-05'
let round: Round
let owner: Actor
let tankIds: string[] = []
const lotsAt = async (visitId: string) => (await findWorkPage(owner, visitId, NOW))?.lots

beforeAll(async () => {
  round = await makeRound()
  owner = { ...round.actor, roles: ['owner'] }
  const { businessId, clientId, siteId, scope } = round
  const random = seededRandom(31)
  tankIds = Array.from({ length: 30 }, () => newId())
  await inScope(
    scope,
    async (tx) => {
      await tx.tank.createMany({
        data: tankIds.map((id, number) => ({
          businessId,
          id,
          clientId,
          siteId,
          name: `Tank ${number}`,
          profile: 'reef',
          volumeL: 300,
        })),
      })
      await tx.tankClient.createMany({
        data: tankIds.map((id) => ({ businessId, id, clientId, tankId: id, since: asDbDate('2025-01-01') })),
      })
      for (const [number, tankId] of tankIds.entries())
        for (let week = 0; week < 14; week++) {
          const takenAt = new Date(Date.UTC(2026, 7, 24) + (week * 7 + (number % 3)) * 86_400_000)
          const after = number < 10 && takenAt > asDbDate(FIRST_DAY)
          const readings = [
            ['alkalinity', 2.9 + 0.1 * (random() - 0.5) - (after ? 0.3 : 0), 'meq/L'],
            ['calcium', 425 + 10 * (random() - 0.5), 'mg/L'],
          ] as const
          await tx.reading.createMany({
            data: readings.map(([quantity, value, unit]) => ({
              ...{ businessId, id: newId(), clientId, tankId, quantity, value, unit, takenAt, takenOn: takenAt },
              ...{ enteredValue: value.toFixed(2), enteredUnit: unit },
            })),
          })
        }
    },
    { timeoutMs: 60_000 },
  )
})

const ids = () => ({ commandId: newId(), businessId: round.businessId })
const salt = { kind: 'salt' as const, receivedOn: '2026-09-28', note: '' }

describe('lots', () => {
  let lotId = ''

  test('are added once, ticked at several tanks at once, and a wrong tick is taken back by a further row', async () => {
    const made = await addLot(owner, { ...ids(), ...salt, label: 'S-1' })
    if (!made.ok) throw new Error('refused')
    lotId = made.value.lotId
    expect(await addLot(owner, { ...ids(), ...salt, label: 'S-1' })).toMatchObject({ ok: false, reason: 'invalid' })
    const tick = { ...ids(), lotId, usedOn: FIRST_DAY, tankIds: tankIds.slice(0, 11) }
    expect(await tickLot(owner, tick)).toMatchObject({ ok: true, value: { added: 11 } })
    expect(await tickLot(owner, { ...tick, commandId: newId() })).toMatchObject({ value: { added: 0 } })
    expect(await tickLot(owner, { ...tick, commandId: newId(), usedOn: '2099-01-01' })).toMatchObject({
      reason: 'invalid',
    })
    const before = await lotPage(owner, lotId, NOW)
    const wrong = before?.uses.find(({ tankId }) => tankId === tankIds[10])
    const back = { ...ids(), useId: wrong?.id ?? '' }
    expect(await takeBackUse(owner, back)).toMatchObject({ ok: true })
    expect(await takeBackUse(owner, { ...back, commandId: newId() })).toMatchObject({ ok: false, reason: 'not-found' })
    expect((await lotPage(owner, lotId, NOW))?.uses).toHaveLength(10)
  })

  test('whose tanks moved together are found and named, and nothing else is', async () => {
    const page = await lotPage(owner, lotId, NOW)
    expect(
      page?.shifts
        .filter((shift) => shift.found)
        .map(({ quantity, direction, tanks, others }) => ({ quantity, direction, tanks, others })),
    ).toEqual([{ quantity: 'alkalinity', direction: 'fell', tanks: 10, others: 20 }])
    const { rows } = await lotList(owner, NOW)
    expect(rows[0]?.found[0]).toMatch(
      /^Against the other tanks 10 of 10 on this lot fell in alkalinity by 0\.\d+ meq\/L or more \(median change −0\.\d+ meq\/L, of the others [−+]?0(\.0\d)? meq\/L; 0 of 20 others did so\)\. Test again /,
    )
    expect((await todayOf(owner, NOW)).lotShifts).toMatchObject([{ lotId, label: 'S-1' }])
  })

  test('used up, a lot is no longer offered at a visit, and Today no longer asks about it', async () => {
    const visitId = await bookVisit(round)
    expect(await lotsAt(visitId)).toMatchObject([{ id: lotId, usedHere: false, lastHere: false }])
    const edit = { ...ids(), lotId, label: 'S-1', receivedOn: '2026-09-28', note: '' }
    expect(await editLot(owner, { ...edit, usedUpOn: '2026-09-01' })).toMatchObject({ reason: 'invalid' })
    expect((await editLot(owner, { ...edit, commandId: newId(), usedUpOn: '2026-11-20' })).ok).toBe(true)
    expect(await lotsAt(visitId)).toEqual([])
    expect((await todayOf(owner, NOW)).lotShifts).toEqual([])
  })
})

test('lots said at a visit: the record from rows is the one from the commands, and twice is once', async () => {
  const made = await addLot(owner, { ...ids(), ...salt, label: 'S-2' })
  if (!made.ok) throw new Error('refused')
  const { lotId } = made.value
  const visitId = await bookVisit(round)
  const say = makePhone(round, visitId)
  const commands = [
    say({ kind: 'visit.arrive' }),
    say({ kind: 'visit.use-lots', lotIds: [lotId] }),
    say({ kind: 'visit.use-lots', lotIds: [lotId] }),
  ]
  for (const result of await sendAs(round.actor, ...commands)) expect(result.ok).toBe(true)
  const record = await recordOf(round, visitId)
  expect(record?.lots).toEqual([lotId])
  expect(project(commands).lots).toEqual(record?.lots)
  expect(await lotsAt(visitId)).toMatchObject([{ id: lotId, usedHere: true, lastHere: true }])
  const [refused] = await sendAs(round.actor, say({ kind: 'visit.use-lots', lotIds: [newId()] }))
  expect(refused).toMatchObject({ ok: false, reason: 'does-not-fit' })
})
