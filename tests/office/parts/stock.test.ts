import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import {
  addPart,
  addPlace,
  addSupplier,
  archivePart,
  archivePlace,
  closeOrder,
  correctStockMove,
  countPlace,
  moveStock,
  placeOrders,
  receive,
  takeOff,
} from '@/lib/office/parts/commands'
import { EMPTY_PART } from '@/lib/office/parts/schema'
import { holdings, openOrders } from '@/lib/office/parts/stock'
import { applyVisitCommand } from '@/lib/office/visits/commands'
import { inScope } from '@/lib/platform/db/scope'
import { bookVisit, makePhone, makeRound, type Round, VISIT_DAY } from '../visits/round'

let round: Round
let owner: Actor
beforeAll(async () => {
  round = await makeRound()
  owner = { ...round.actor, roles: ['owner'], membershipId: newId() }
})

const base = () => ({ commandId: newId(), businessId: round.businessId })
const made = async <T>(result: Promise<{ ok: true; value: T } | { ok: false; words?: string }>): Promise<T> => {
  const answer = await result
  if (!answer.ok) throw new Error(`refused: ${JSON.stringify(answer)}`)
  return answer.value
}
/** A part with a shelf, the technician's van and a van of nobody. */
async function stockroom() {
  // Persons drive one van only: the former test's is put away first.
  await inScope(round.scope, (tx) =>
    tx.stockPlace.updateMany({
      where: { businessId: round.businessId },
      data: { archivedAt: new Date('2026-11-24'), personId: null },
    }),
  )
  const { partId } = await made(addPart(owner, { ...base(), ...EMPTY_PART, name: 'Rotor seal', unit: 'metre' }))
  const place = (kind: 'shelf' | 'van', name: string, personId = '') =>
    made(addPlace(owner, { ...base(), kind, name, personId }))
  const { placeId: shelf } = await place('shelf', 'Shelf')
  const { placeId: van } = await place('van', 'Van 1', round.personId)
  const { placeId: other } = await place('van', 'Van 2')
  const at = async (placeId: string) =>
    (await inScope(round.scope, (tx) => holdings(tx, round.businessId, { partIds: [partId], placeId })))[0]?.quantity ??
    0
  return { partId, shelf, van, other, at }
}
const DAY = VISIT_DAY

describe('moves', () => {
  test('what comes in lies on the shelf, what is moved lies in the van, what is thrown away lies nowhere', async () => {
    const { partId, shelf, van, at } = await stockroom()
    await made(
      receive(owner, { ...base(), partId, placeId: shelf, quantity: '10', movedOn: DAY, note: '', orderId: '' }),
    )
    await made(
      moveStock(owner, {
        ...base(),
        partId,
        fromPlaceId: shelf,
        toPlaceId: van,
        quantity: '3,5',
        movedOn: DAY,
        note: '',
      }),
    )
    await made(
      takeOff(owner, {
        ...base(),
        partId,
        placeId: van,
        kind: 'written-off',
        quantity: '0.5',
        movedOn: DAY,
        note: 'bent',
      }),
    )
    expect([await at(shelf), await at(van)]).toEqual([6.5, 3])
  })

  test('the same command twice, also at once, moves once', async () => {
    const { partId, shelf, at } = await stockroom()
    const input = { ...base(), partId, placeId: shelf, quantity: '4', movedOn: DAY, note: '', orderId: '' }
    await Promise.all([receive(owner, input), receive(owner, input), receive(owner, input)])
    await receive(owner, input)
    expect(await at(shelf)).toBe(4)
  })

  test('more than lies there on paper is not moved by hand, and nothing is written', async () => {
    const { partId, shelf, van, at } = await stockroom()
    const input = { ...base(), partId, fromPlaceId: shelf, toPlaceId: van, quantity: '1', movedOn: DAY, note: '' }
    expect(await moveStock(owner, input)).toMatchObject({ ok: false, fields: { quantity: [/On paper there are 0/] } })
    expect(await at(van)).toBe(0)
  })

  test('a move is corrected by a row behind it; twice on the same row is refused', async () => {
    const { partId, shelf, at } = await stockroom()
    const { moveId } = await made(
      receive(owner, { ...base(), partId, placeId: shelf, quantity: '10', movedOn: DAY, note: '', orderId: '' }),
    )
    const again = await made(correctStockMove(owner, { ...base(), moveId, quantity: '7', note: 'miscounted' }))
    expect(await at(shelf)).toBe(7)
    expect(await correctStockMove(owner, { ...base(), moveId, quantity: '1', note: '' })).toMatchObject({
      reason: 'already-so',
    })
    await made(correctStockMove(owner, { ...base(), moveId: again.moveId, quantity: '0', note: 'never came' }))
    expect(await at(shelf)).toBe(0)
  })

  test('a part or a place with something in it is not put away', async () => {
    const { partId, shelf } = await stockroom()
    await made(
      receive(owner, { ...base(), partId, placeId: shelf, quantity: '1', movedOn: DAY, note: '', orderId: '' }),
    )
    expect(await archivePart(owner, { ...base(), partId })).toMatchObject({ ok: false, reason: 'in-use' })
    expect(await archivePlace(owner, { ...base(), placeId: shelf })).toMatchObject({ ok: false, reason: 'in-use' })
  })

  test('another business neither moves nor sees it; a client may not at all', async () => {
    const { partId, shelf, at } = await stockroom()
    const input = { ...base(), partId, placeId: shelf, quantity: '1', movedOn: DAY, note: '', orderId: '' }
    const stranger = { ...owner, businessId: newId() }
    expect(await receive(stranger, input)).toMatchObject({ ok: false, reason: 'other-business' })
    expect(await receive({ ...owner, roles: ['accountant'] }, input)).toMatchObject({
      ok: false,
      reason: 'not-allowed',
    })
    expect(await at(shelf)).toBe(0)
  })
})

describe('counts', () => {
  test('a count sets what is there, up or down, and says the difference', async () => {
    const { partId, shelf, at } = await stockroom()
    await made(
      receive(owner, { ...base(), partId, placeId: shelf, quantity: '10', movedOn: DAY, note: '', orderId: '' }),
    )
    const count = (quantity: number) =>
      made(countPlace(owner, { ...base(), placeId: shelf, countedOn: DAY, counts: [{ partId, quantity }] }))
    await count(8)
    expect(await at(shelf)).toBe(8)
    await count(9.5)
    expect(await at(shelf)).toBe(9.5)
    await count(9.5)
    expect(await at(shelf)).toBe(9.5)
    const rows = await inScope(round.scope, (tx) => tx.stockMove.findMany({ where: { partId, kind: 'counted' } }))
    expect(rows.map(({ quantity }) => quantity.toNumber()).sort()).toEqual([0, 1.5, 2])
  })

  test('a day that has not come yet is refused: it would swallow what moves until then', async () => {
    const { partId, shelf, at } = await stockroom()
    const typo = '2062-11-25'
    const count = { ...base(), placeId: shelf, countedOn: typo, counts: [{ partId, quantity: 9 }] }
    expect(await countPlace(owner, count)).toMatchObject({
      ok: false,
      fields: { countedOn: ['This day has not come yet.'] },
    })
    const came = { ...base(), partId, placeId: shelf, quantity: '1', movedOn: typo, note: '', orderId: '' }
    expect(await receive(owner, came)).toMatchObject({ ok: false, reason: 'invalid' })
    expect(await at(shelf)).toBe(0)
  })

  test('a use from before the count that is told later does not come off twice', async () => {
    const { partId, shelf, van, at } = await stockroom()
    await made(
      receive(owner, { ...base(), partId, placeId: shelf, quantity: '5', movedOn: DAY, note: '', orderId: '' }),
    )
    await made(
      moveStock(owner, {
        ...base(),
        partId,
        fromPlaceId: shelf,
        toPlaceId: van,
        quantity: '5',
        movedOn: DAY,
        note: '',
      }),
    )
    const visitId = await bookVisit(round)
    const say = makePhone(round, visitId, 'phone-late')
    await applyVisitCommand(round.actor, say({ kind: 'visit.arrive' }))
    const said = { kind: 'visit.use-part', priceItemId: null, partId, description: 'Rotor seal', quantity: 2 } as const
    const use = say({ ...said, billable: false }, { madeAt: '2026-11-20T09:00:00Z' })
    // The phone had no signal; in the evening the van was counted: three are left.
    await made(countPlace(owner, { ...base(), placeId: van, countedOn: DAY, counts: [{ partId, quantity: 3 }] }))
    await made(applyVisitCommand(round.actor, use))
    expect(await at(van)).toBe(3)
    // Put right to one: the count still stands, and so does what it said.
    const fix = {
      of: 'part',
      targetId: use.id,
      priceItemId: null,
      description: 'Rotor seal',
      quantity: 1,
      billable: false,
    } as const
    await made(applyVisitCommand(round.actor, say({ kind: 'visit.correct', correction: fix })))
    expect(await at(van)).toBe(3)
  })
})

describe('used at a visit', () => {
  async function visitWith(name: string) {
    const room = await stockroom()
    const visitId = await bookVisit(round)
    const say = makePhone(round, visitId, name)
    await applyVisitCommand(round.actor, say({ kind: 'visit.arrive' }))
    const use = (quantity: number, partId: string | null = room.partId) =>
      say({ kind: 'visit.use-part', priceItemId: null, partId, description: 'Rotor seal', quantity, billable: true })
    return { ...room, visitId, say, use }
  }

  test('comes off the van of whoever says so, once however often it arrives', async () => {
    const { use, at, van } = await visitWith('phone-b')
    const command = use(2)
    await Promise.all([applyVisitCommand(round.actor, command), applyVisitCommand(round.actor, command)])
    expect(await at(van)).toBe(-2) // nothing lost: the list asks for a count
  })

  test('in words only moves nothing', async () => {
    const { use, at, van } = await visitWith('phone-c')
    await made(applyVisitCommand(round.actor, use(2, null)))
    expect(await at(van)).toBe(0)
  })

  test('a correction of the use corrects the stock: fewer, none, another part, and back', async () => {
    const { use, say, at, van, partId } = await visitWith('phone-d')
    const { partId: otherPart } = await made(addPart(owner, { ...base(), ...EMPTY_PART, name: 'Other seal' }))
    const command = use(3)
    await made(applyVisitCommand(round.actor, command))
    const correct = (quantity: number, part?: string | null) =>
      made(
        applyVisitCommand(
          round.actor,
          say({
            kind: 'visit.correct',
            correction: {
              ...{ of: 'part', targetId: command.id, priceItemId: null, description: 'Seal', quantity, billable: true },
              ...(part === undefined ? {} : { partId: part }),
            },
          }),
        ),
      )
    const ofOther = async () =>
      (await inScope(round.scope, (tx) => holdings(tx, round.businessId, { partIds: [otherPart] })))[0]?.quantity ?? 0
    await correct(1) // the part was not asked about and stays
    expect(await at(van)).toBe(-1)
    await correct(0)
    expect(await at(van)).toBe(0)
    await correct(2, otherPart)
    expect([await at(van), await ofOther()]).toEqual([0, -2])
    await correct(4, partId)
    expect([await at(van), await ofOther()]).toEqual([-4, 0])
    await correct(4, null)
    expect([await at(van), await ofOther()]).toEqual([0, 0])
  })
})

describe('orders', () => {
  test('stay open until all has come; what was received wrongly is open again; what will not come is closed', async () => {
    const { partId, shelf, at } = await stockroom()
    const { supplierId } = await made(
      addSupplier(owner, { ...base(), name: 'Quay Supplies', email: '', phone: '', leadTimeDays: '10', note: '' }),
    )
    const order = { ...base(), supplierId, orderedOn: DAY, expectedOn: '', note: '', parts: [{ partId, quantity: 12 }] }
    await made(placeOrders(owner, order))
    await placeOrders(owner, order) // twice: once
    const open = async () => (await inScope(round.scope, (tx) => openOrders(tx, round.businessId, partId)))[0]
    const first = await open()
    // Ten days after a Thursday is a Sunday: expected on the Monday.
    expect(first).toMatchObject({ left: 12, expectedOn: new Date('2026-12-07') })
    const orderId = first?.id ?? ''
    const came = (quantity: string) =>
      made(receive(owner, { ...base(), partId, placeId: shelf, quantity, movedOn: DAY, note: '', orderId }))
    await came('5')
    expect(await open()).toMatchObject({ left: 7 })
    const { moveId } = await came('7')
    expect(await open()).toBeUndefined()
    await made(correctStockMove(owner, { ...base(), moveId, quantity: '6', note: '' }))
    expect([await at(shelf), (await open())?.left]).toEqual([11, 1])
    // The part does not leave the list while some of it is on its way.
    await made(countPlace(owner, { ...base(), placeId: shelf, countedOn: DAY, counts: [{ partId, quantity: 0 }] }))
    expect(await archivePart(owner, { ...base(), partId })).toMatchObject({ reason: 'in-use', words: /on its way/ })
    await made(closeOrder(owner, { ...base(), orderId }))
    expect(await open()).toBeUndefined()
  })

  test('closed without the rest stay closed when what came is put right', async () => {
    const { partId, shelf } = await stockroom()
    const order = { ...base(), supplierId: '', orderedOn: DAY, expectedOn: '', note: '' }
    await made(placeOrders(owner, { ...order, parts: [{ partId, quantity: 10 }] }))
    const orders = () => inScope(round.scope, (tx) => openOrders(tx, round.businessId, partId))
    const orderId = (await orders())[0]?.id ?? ''
    const came = { ...base(), partId, placeId: shelf, quantity: '6', movedOn: DAY, note: '', orderId }
    const { moveId } = await made(receive(owner, came))
    await made(closeOrder(owner, { ...base(), orderId }))
    await made(correctStockMove(owner, { ...base(), moveId, quantity: '5', note: 'miscounted' }))
    expect(await orders()).toEqual([])
    const row = await inScope(round.scope, (tx) => tx.partOrder.findFirst({ where: { id: orderId } }))
    expect(row?.receivedQuantity.toNumber()).toBe(5)
  })
})

test('whatever happens in whatever order, the places hold what came in less what went out, and a count holds', async () => {
  const { partId, shelf, van, other } = await stockroom()
  const places = [shelf, van, other] as const
  const model = new Map<string, number>(places.map((place) => [place, 0]))
  const held = async () =>
    new Map(
      (await inScope(round.scope, (tx) => holdings(tx, round.businessId, { partIds: [partId] }))).map((one) => [
        one.placeId,
        one.quantity,
      ]),
    )
  const step = fc.record({
    what: fc.constantFrom('receive', 'move', 'write-off', 'return', 'count', 'undo'),
    from: fc.constantFrom(...places),
    to: fc.constantFrom(...places),
    thousandths: fc.integer({ min: 1, max: 9000 }),
    twice: fc.boolean(),
  })
  const undoable: { id: string; place: string; quantity: number }[] = []
  await fc.assert(
    fc.asyncProperty(fc.array(step, { minLength: 3, maxLength: 8 }), async (steps) => {
      for (const { what, from, to, thousandths, twice } of steps) {
        const quantity = String(thousandths / 1000)
        const common = { ...base(), partId, movedOn: DAY, note: '' }
        const at = (place: string) => model.get(place) ?? 0
        const add = (place: string, change: number) => model.set(place, Math.round((at(place) + change) * 1000) / 1000)
        const once = async <T>(run: () => Promise<{ ok: boolean; value?: T }>) => {
          const answer = await run()
          if (twice) await run()
          return answer.ok
        }
        const amount = thousandths / 1000
        if (
          what === 'receive' &&
          (await once(() => receive(owner, { ...common, quantity, placeId: to, orderId: '' })))
        ) {
          add(to, amount)
          undoable.push({ id: common.commandId, place: to, quantity: amount })
        }
        if (what === 'move' && from !== to) {
          const ok = await once(() => moveStock(owner, { ...common, quantity, fromPlaceId: from, toPlaceId: to }))
          expect(ok).toBe(amount <= at(from))
          if (ok) {
            add(from, -amount)
            add(to, amount)
          }
        }
        if (what === 'write-off' || what === 'return') {
          const kind = what === 'return' ? 'returned' : 'written-off'
          if (await once(() => takeOff(owner, { ...common, quantity, placeId: from, kind }))) add(from, -amount)
        }
        if (what === 'count') {
          const input = { ...base(), placeId: to, countedOn: DAY, counts: [{ partId, quantity: amount }] }
          if (await once(() => countPlace(owner, input))) {
            model.set(to, amount)
            undoable.length = 0 // what is undone before a count is taken up by it
          }
        }
        const last = what === 'undo' ? undoable.pop() : undefined
        if (
          last &&
          (await once(() => correctStockMove(owner, { ...base(), moveId: last.id, quantity: '0', note: '' })))
        )
          add(last.place, -last.quantity)
      }
      const now = await held()
      for (const place of places) expect(now.get(place) ?? 0).toBeCloseTo(model.get(place) ?? 0, 6)
    }),
    { numRuns: 12, seed: 7 },
  )
}, 120_000)
