import { beforeAll, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { addDays, asDbDate } from '@/lib/office/frame/days'
import { addPart, addPlace } from '@/lib/office/parts/commands'
import { partPage } from '@/lib/office/parts/queries'
import { EMPTY_PART, FIRST_OF_PART, partAskedSchema } from '@/lib/office/parts/schema'
import { inScope } from '@/lib/platform/db/scope'
import { makeRound, type Round, VISIT_DAY } from '../visits/round'

const NOW = new Date(`${VISIT_DAY}T12:00:00Z`)
const MOVES = 45
let round: Round
let owner: Actor
let partId = ''

const made = async <T>(result: Promise<{ ok: true; value: T } | { ok: false; words?: string }>): Promise<T> => {
  const answer = await result
  if (!answer.ok) throw new Error(`refused: ${JSON.stringify(answer)}`)
  return answer.value
}
const page = async (asked: Partial<typeof FIRST_OF_PART>) => {
  const found = await partPage(owner, partId, NOW, { ...FIRST_OF_PART, ...asked })
  if (!found) throw new Error('the part is not there')
  return found
}

beforeAll(async () => {
  round = await makeRound()
  owner = { ...round.actor, roles: ['owner'], membershipId: newId() }
  const base = () => ({ commandId: newId(), businessId: round.businessId })
  partId = (await made(addPart(owner, { ...base(), ...EMPTY_PART, name: 'Rotor seal' }))).partId
  const { placeId } = await made(addPlace(owner, { ...base(), kind: 'shelf', name: 'Shelf', personId: '' }))
  const row = { businessId: round.businessId, partId, kind: 'received', toPlaceId: placeId }
  await inScope(round.scope, (tx) =>
    tx.stockMove.createMany({
      data: Array.from({ length: MOVES }, (_, i) => ({
        ...{ ...row, id: newId(), quantity: i + 1, movedOn: asDbDate(addDays(VISIT_DAY, -i)) },
      })),
    }),
  )
})

test('all moves of a part can be reached, the newest first, each once', async () => {
  const pages = [await page({}), await page({ moves: 2 }), await page({ moves: 3 })]
  expect(pages.map(({ areEarlierMoves }) => areEarlierMoves)).toEqual([true, true, false])
  expect(pages.flatMap(({ moves }) => moves.map(({ quantity }) => quantity))).toEqual(
    Array.from({ length: MOVES }, (_, i) => i + 1),
  )
  expect((await page({ moves: 4 })).moves).toEqual([])
})

test('all devices of a small business are offered at once; a name narrows them', async () => {
  const all = await page({})
  expect([all.deviceChoices.length, all.areMoreDevices]).toEqual([4, false])
  const found = await page({ device: 'SKIMMER' })
  expect(found.deviceChoices.map(({ value }) => value)).toEqual([round.devices.skimmer.id])
  expect((await page({ device: 'nowhere' })).deviceChoices).toEqual([])
})

test('what an address asks wrongly is taken as not asked', () => {
  expect(partAskedSchema.parse({})).toEqual(FIRST_OF_PART)
  expect(partAskedSchema.parse({ moves: '-1', devices: 'none', device: ['a', 'b'] })).toEqual(FIRST_OF_PART)
  expect(partAskedSchema.parse({ moves: '3', devices: 'all', device: ' hall ' })).toEqual({
    ...{ moves: 3, devices: 'all', device: 'hall' },
  })
})
