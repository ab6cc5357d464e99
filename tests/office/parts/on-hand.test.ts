import { beforeAll, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { asDbDate } from '@/lib/office/frame/days'
import { addPart, addPlace, correctStockMove, countPlace, moveStock, receive } from '@/lib/office/parts/commands'
import { rebuildStock } from '@/lib/office/parts/rebuild-stock'
import { EMPTY_PART } from '@/lib/office/parts/schema'
import { holdings } from '@/lib/office/parts/stock'
import { applyVisitCommand } from '@/lib/office/visits/commands'
import { inScope } from '@/lib/platform/db/scope'
import { bookVisit, makePhone, makeRound, type Round, VISIT_DAY } from '../visits/round'

let round: Round
let owner: Actor
let [partId, shelf, van] = ['', '', '']

const base = () => ({ commandId: newId(), businessId: round.businessId })
const made = async <T>(result: Promise<{ ok: true; value: T } | { ok: false; words?: string }>): Promise<T> => {
  const answer = await result
  if (!answer.ok) throw new Error(`refused: ${JSON.stringify(answer)}`)
  return answer.value
}
const day = { movedOn: VISIT_DAY, note: '' }
const held = async () => {
  const rows = await inScope(round.scope, (tx) => holdings(tx, round.businessId))
  return new Map(rows.map(({ partId: part, placeId, quantity }) => [`${part} ${placeId}`, quantity]))
}
/** The same from the moves alone: their ends, without those that a later one corrects. */
const summed = async () => {
  const moves = await inScope(round.scope, (tx) =>
    tx.stockMove.findMany({ where: { businessId: round.businessId, correctedBy: { is: null } } }),
  )
  const thousandths = new Map<string, number>()
  for (const { partId: part, fromPlaceId, toPlaceId, quantity } of moves)
    for (const [place, sign] of [[fromPlaceId, -1], [toPlaceId, 1]] as const) // biome-ignore format: two ends
      if (place)
        thousandths.set(
          `${part} ${place}`,
          (thousandths.get(`${part} ${place}`) ?? 0) + sign * quantity.mul(1000).toNumber(),
        )
  return new Map([...thousandths].filter(([, sum]) => sum !== 0).map(([key, sum]) => [key, sum / 1000]))
}
const sorted = (map: Map<string, number>) => [...map].sort(([a], [b]) => (a < b ? -1 : 1))

beforeAll(async () => {
  round = await makeRound()
  owner = { ...round.actor, roles: ['owner'], membershipId: newId() }
  partId = (await made(addPart(owner, { ...base(), ...EMPTY_PART, name: 'Rotor seal', unit: 'metre' }))).partId
  const place = (kind: 'shelf' | 'van', name: string, personId: string) =>
    made(addPlace(owner, { ...base(), kind, name, personId }))
  shelf = (await place('shelf', 'Shelf', '')).placeId
  van = (await place('van', 'Van 1', round.personId)).placeId
})

test('what the database keeps is the sum of the moves: received, moved, corrected twice, counted, used, and used otherwise', async () => {
  const came = await made(receive(owner, { ...base(), ...day, partId, quantity: '10', placeId: shelf, orderId: '' }))
  const filled = { ...base(), ...day, partId, quantity: '3.125', fromPlaceId: shelf, toPlaceId: van }
  await made(moveStock(owner, filled))
  const less = await made(correctStockMove(owner, { ...base(), moveId: came.moveId, quantity: '8', note: '' }))
  await made(correctStockMove(owner, { ...base(), moveId: less.moveId, quantity: '9', note: '' }))
  const counts = [{ partId, quantity: 2.5 }]
  await made(countPlace(owner, { ...base(), placeId: van, countedOn: VISIT_DAY, counts }))
  const say = makePhone(round, await bookVisit(round), 'phone-on-hand')
  await applyVisitCommand(round.actor, say({ kind: 'visit.arrive' }))
  const seal = { priceItemId: null, description: 'Seal', billable: false } as const
  const used = say({ kind: 'visit.use-part', partId, quantity: 4, ...seal })
  await made(applyVisitCommand(round.actor, used))
  const correction = { of: 'part', targetId: used.id, quantity: 1, ...seal } as const
  await made(applyVisitCommand(round.actor, say({ kind: 'visit.correct', correction })))
  expect((await held()).get(`${partId} ${shelf}`)).toBe(5.875)
  expect(sorted(await held())).toEqual(sorted(await summed()))
})

test('a move and what corrects it, written by one statement, count as the correction says', async () => {
  const before = (await held()).get(`${partId} ${shelf}`) ?? 0
  const [first, second] = [newId(), newId()]
  const row = { businessId: round.businessId, partId, kind: 'received', toPlaceId: shelf, movedOn: asDbDate(VISIT_DAY) }
  await inScope(round.scope, (tx) =>
    tx.stockMove.createMany({
      data: [
        { ...row, id: first, quantity: 7 },
        { ...row, id: second, quantity: 2, correctsId: first },
      ],
    }),
  )
  expect((await held()).get(`${partId} ${shelf}`)).toBe(before + 2)
  expect(sorted(await held())).toEqual(sorted(await summed()))
})

test('two that write at once lose nothing', async () => {
  const before = (await held()).get(`${partId} ${shelf}`) ?? 0
  const came = () => receive(owner, { ...base(), ...day, partId, quantity: '1', placeId: shelf, orderId: '' })
  await Promise.all([made(came()), made(came()), made(came()), made(came())])
  expect((await held()).get(`${partId} ${shelf}`)).toBe(before + 4)
})

test('a move that is rolled back leaves nothing', async () => {
  const before = sorted(await held())
  const row = { businessId: round.businessId, partId, kind: 'received', toPlaceId: shelf, movedOn: asDbDate(VISIT_DAY) }
  const written = inScope(round.scope, async (tx) => {
    await tx.stockMove.create({ data: { ...row, id: newId(), quantity: 5 } })
    throw new Error('not after all')
  })
  await expect(written).rejects.toThrow('not after all')
  expect(sorted(await held())).toEqual(before)
})

test('made again from the moves it is the same, also where it was lost or wrong', async () => {
  const before = sorted(await held())
  expect(before.length).toBeGreaterThan(1)
  await rebuildStock(round.scope)
  expect(sorted(await held())).toEqual(before)
  const here = { businessId: round.businessId }
  await inScope(round.scope, async (tx) => {
    await tx.stockOnHand.deleteMany({ where: { ...here, placeId: van } })
    await tx.stockOnHand.updateMany({ where: { ...here, placeId: shelf }, data: { quantity: 1000 } })
  })
  await rebuildStock(round.scope)
  expect(sorted(await held())).toEqual(before)
})
