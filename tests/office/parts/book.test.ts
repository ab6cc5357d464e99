import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { asDbDate } from '@/lib/office/frame/days'
import { dayOf } from '@/lib/office/lanes/day-numbers'
import { arrivalDay } from '@/lib/office/parts/arrival-day'
import {
  addPart,
  addPlace,
  correctStockMove,
  countPlace,
  moveStock,
  placeOrders,
  receive,
  takeOff,
} from '@/lib/office/parts/commands'
import { readNextVisits } from '@/lib/office/parts/next-visit'
import { readPartsBook } from '@/lib/office/parts/parts-book'
import { EMPTY_PART } from '@/lib/office/parts/schema'
import { applyVisitCommand } from '@/lib/office/visits/commands'
import { inScope } from '@/lib/platform/db/scope'
import { bookVisit, makePhone, makeRound, type Round, VISIT_DAY } from '../visits/round'

let round: Round
let owner: Actor
let [shelf, van] = ['', '']
beforeAll(async () => {
  round = await makeRound()
  owner = { ...round.actor, roles: ['owner'], membershipId: newId() }
  const place = (kind: 'shelf' | 'van', name: string, personId: string) =>
    made(addPlace(owner, { ...base(), kind, name, personId }))
  shelf = (await place('shelf', 'Shelf', '')).placeId
  van = (await place('van', 'Van 1', round.personId)).placeId
})

const base = () => ({ commandId: newId(), businessId: round.businessId })
const made = async <T>(result: Promise<{ ok: true; value: T } | { ok: false; words?: string }>): Promise<T> => {
  const answer = await result
  if (!answer.ok) throw new Error(`refused: ${JSON.stringify(answer)}`)
  return answer.value
}
const addSeal = async () => (await made(addPart(owner, { ...base(), ...EMPTY_PART, name: 'Rotor seal' }))).partId
const day = { movedOn: VISIT_DAY, note: '' }
const came = (partId: string, quantity: string) =>
  made(receive(owner, { ...base(), ...day, partId, quantity, placeId: shelf, orderId: '' }))
const toVan = (partId: string, quantity: string) =>
  made(moveStock(owner, { ...base(), ...day, partId, quantity, fromPlaceId: shelf, toPlaceId: van }))
const read = () => inScope(round.scope, (tx) => readPartsBook(tx, round.businessId, new Date(`${VISIT_DAY}T12:00:00Z`)))

describe('below zero on paper', () => {
  test('a van that used one it did not have takes none from the shelf: one can be had, and the van is to be counted', async () => {
    const partId = await addSeal()
    await came(partId, '1')
    const say = makePhone(round, await bookVisit(round), 'phone-book')
    await applyVisitCommand(round.actor, say({ kind: 'visit.arrive' }))
    const used = { kind: 'visit.use-part', priceItemId: null, partId, description: 'Seal', quantity: 1 } as const
    await made(applyVisitCommand(round.actor, say({ ...used, billable: false })))
    const book = await read()
    expect([book.onHand(partId), book.available(partId)]).toEqual([0, 1])
    expect(book.toCount(partId)).toEqual([{ placeId: van, name: 'Van 1', quantity: -1 }])
  })

  test('a corrected move takes no more than lies there, in either direction, and then nothing is written', async () => {
    const partId = await addSeal()
    await came(partId, '3')
    const { moveId } = await toVan(partId, '2')
    const correct = (quantity: string) => correctStockMove(owner, { ...base(), moveId, quantity, note: '' })
    expect(await correct('4')).toMatchObject({ ok: false, fields: { quantity: [/there is 1 in Shelf/] } })
    await made(takeOff(owner, { ...base(), ...day, partId, quantity: '2', placeId: van, kind: 'written-off' }))
    expect(await correct('0')).toMatchObject({ ok: false, fields: { quantity: [/there are 0 in Van 1/] } })
    expect((await read()).held(partId, shelf)).toBe(1)
    await made(correct('3'))
    const book = await read()
    expect([book.held(partId, shelf), book.held(partId, van)]).toEqual([0, 1])
  })

  test('where a count came after the move the correction is taken up by it and not refused', async () => {
    const partId = await addSeal()
    await came(partId, '3')
    const { moveId } = await toVan(partId, '2')
    await made(
      countPlace(owner, { ...base(), placeId: shelf, countedOn: VISIT_DAY, counts: [{ partId, quantity: 0 }] }),
    )
    await made(correctStockMove(owner, { ...base(), moveId, quantity: '3', note: '' }))
    const book = await read()
    expect([book.held(partId, shelf), book.held(partId, van)]).toEqual([0, 3])
  })
})

test('half a piece is neither received nor moved, counted or ordered; half a metre is', async () => {
  const partId = await addSeal()
  const whole = [/whole number/]
  const half = { ...base(), ...day, partId, quantity: '1.5' }
  expect(await receive(owner, { ...half, placeId: shelf, orderId: '' })).toMatchObject({ fields: { quantity: whole } })
  const counts = [{ partId, quantity: 1.5 }]
  expect(await countPlace(owner, { ...base(), placeId: shelf, countedOn: VISIT_DAY, counts })).toMatchObject({
    fields: { [`figure|${partId}`]: whole },
  })
  const order = { ...base(), supplierId: '', orderedOn: VISIT_DAY, expectedOn: '', note: '', parts: counts }
  expect(await placeOrders(owner, order)).toMatchObject({ fields: { [`figure|${partId}`]: whole } })
  const { partId: tube } = await made(addPart(owner, { ...base(), ...EMPTY_PART, name: 'Tube', unit: 'metre' }))
  await came(tube, '1.5')
  expect((await read()).held(tube, shelf)).toBe(1.5)
})

describe('when somebody comes next', () => {
  const nextAt = (tankId: string, today: string) =>
    inScope(round.scope, async (tx) =>
      (await readNextVisits(tx, { businessId: round.businessId, today, todayDay: dayOf(asDbDate(today)) }, [tankId]))(
        tankId,
      ),
    )
  test('a booking says it; without one it is as long after the last visit as usual, never today', async () => {
    const other = await inScope(round.scope, (tx) =>
      tx.tank.findFirstOrThrow({ where: { businessId: round.businessId, id: { not: round.tankId } } }),
    )
    await bookVisit(round)
    expect(await nextAt(round.tankId, '2026-11-20')).toEqual({ inDays: 6, isBooked: true })
    const agreement = { id: newId(), businessId: round.businessId, clientId: round.clientId, tankId: other.id }
    await inScope(round.scope, (tx) =>
      tx.agreement.create({
        data: { ...agreement, everyDays: 28, anchorOn: asDbDate('2026-01-01'), startsOn: asDbDate('2026-01-01') },
      }),
    )
    expect(await nextAt(other.id, '2026-11-20')).toEqual({ inDays: 28, isBooked: false })
    await inScope(round.scope, (tx) =>
      tx.visit.create({
        data: {
          ...{ businessId: round.businessId, id: newId(), clientId: round.clientId, tankId: other.id },
          ...{ siteId: round.siteId, kind: 'routine', state: 'done', outcome: 'done', timeZone: 'Europe/London' },
          localDate: asDbDate('2026-11-10'),
        },
      }),
    )
    expect(await nextAt(other.id, '2026-11-20')).toEqual({ inDays: 18, isBooked: false })
    expect(await nextAt(other.id, '2027-03-01')).toEqual({ inDays: 1, isBooked: false })
  })
})

test('an order is not expected on a Sunday', () => {
  expect(arrivalDay('2026-11-26', 10)).toBe('2026-12-07') // a Thursday; ten days on is Sunday the 6th
  expect(arrivalDay('2026-11-26', 9)).toBe('2026-12-05')
  expect(arrivalDay('2026-11-29', 0)).toBe('2026-11-29') // fetched on a Sunday
})
