/** What is read of some tanks only must be what a reading of all of them says of those, also where entries were merged and records corrected. */
import { beforeAll, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { mergeSites } from '@/lib/office/clients/commands'
import type { Actor } from '@/lib/office/frame/actor'
import type { ToBill } from '@/lib/office/money/draft-pieces'
import { readCharges } from '@/lib/office/money/read-charges'
import { mergeTanks } from '@/lib/office/tanks/commands'
import { testDatabase } from '../../setup/database'
import { pinClock } from '../../setup/pinned-clock'
import { accepted, look, makeSite, makeTank, fresh as registerFresh } from '../clients/register'
import {
  draftsThrough,
  issue,
  makeAgreement,
  makeDoneVisit,
  makePart,
  makePlace,
  makePrice,
  makeSeller,
  type Place,
} from './books'

const THROUGH = '2026-11'

beforeAll(async () => {
  pinClock(new Date('2026-11-25T12:00:00Z'))
  await testDatabase()
})

/** A tank with a fee, visits and parts, some of which no draft has yet. */
async function work(actor: Actor, place: Place, months: readonly string[]): Promise<void> {
  for (const month of months) {
    await makeDoneVisit(actor, place, `2026-${month}-04`)
    await makeDoneVisit(actor, place, `2026-${month}-11`, { kind: 'call_out', minutes: 55 })
    await makePart(actor, place, `2026-${month}-12`, { description: 'Filter floss', quantity: '2' })
  }
}

async function correctPart(actor: Actor, correctsId: string, quantity: string): Promise<void> {
  await look(actor, async (tx) => {
    const before = await tx.partUsed.findUniqueOrThrow({
      where: { businessId_id: { businessId: actor.businessId, id: correctsId } },
    })
    await tx.partUsed.create({ data: { ...before, id: newId(), correctsId, quantity } })
  })
}

function tankOf(item: ToBill): string | null {
  if (item.of === 'month') return item.month.subjectId
  if (item.of === 'visit') return item.visit.tankId
  return item.of === 'part' ? item.part.tankId : item.line.tankId
}

test('charges of some tanks are those of a reading of all, tank by tank and together', async () => {
  const actor = await makeSeller('Tidepool Care')
  await makePrice(actor, { name: 'Call-out', forVisitKind: 'call_out' })
  await makePrice(actor, { name: 'Filter floss', kind: 'part', unit: 'piece', unitPrice: '4.50' })
  const kept = await makePlace(actor, 'Brindle Hotel')
  const other = await makePlace(actor, 'Quay House')
  const annexe = await makeSite(actor, kept.clientId, { name: 'Annexe' })
  const twice = { ...kept, siteId: annexe, tankId: await makeTank(actor, annexe, { name: 'Hall again' }) }
  const second = { ...kept, siteId: annexe, tankId: await makeTank(actor, annexe, { name: 'Bar' }) }
  for (const place of [kept, other, second]) await makeAgreement(actor, place, '2026-08-01')
  await makeAgreement(actor, twice, '2026-06-01', { endsOn: new Date('2026-07-31') })
  for (const place of [kept, other, second]) await work(actor, place, ['08', '09'])
  await work(actor, twice, ['06', '07'])
  const wrong = await makePart(actor, twice, '2026-07-20', { description: 'Filter floss', quantity: '9' })
  const again = await makePart(actor, other, '2026-09-20', { description: 'Filter floss', quantity: '3' })
  for (const id of await draftsThrough(actor, '2026-09', '2026-06')) accepted(await issue(actor, id))
  await correctPart(actor, wrong, '5')
  await correctPart(actor, again, '4')
  accepted(await mergeTanks(actor, { ...registerFresh(actor), survivorId: kept.tankId, duplicateId: twice.tankId }))
  accepted(await mergeSites(actor, { ...registerFresh(actor), survivorId: kept.siteId, duplicateId: annexe }))
  for (const place of [kept, other, second]) await work(actor, place, ['10', '11'])

  const { businessId } = actor
  const read = (tankIds?: string[]) =>
    look(actor, (tx) =>
      readCharges(tx, businessId, { through: THROUGH, since: '2026-06', ...(tankIds && { tankIds }) }),
    )
  const all = await read()
  const family = new Map([[twice.tankId, kept.tankId]])
  const homeOf = (item: ToBill) => {
    const tankId = tankOf(item) ?? ''
    return family.get(tankId) ?? tankId
  }
  const counts = new Map<string, number>()
  for (const tankIds of [
    [kept.tankId],
    [twice.tankId],
    [other.tankId],
    [second.tankId],
    [other.tankId, twice.tankId],
  ]) {
    const homes = new Set(tankIds.map((id) => family.get(id) ?? id))
    const expected = all.items.filter((item) => homes.has(homeOf(item)))
    const some = await read(tankIds)
    expect(some.items).toEqual(expected)
    const payerIds = new Set(expected.flatMap(({ standing }) => standing.payers.map(({ payerId }) => payerId)))
    expect(some.payers).toEqual(all.payers.filter(({ id }) => payerIds.has(id)))
    counts.set(tankIds.join(), expected.length)
  }
  // Something of every kind was there to be told apart: two months, visits and parts each, and what the corrections changed.
  expect([...counts.values()].map((count) => count >= 6)).toEqual([true, true, true, true, true])
  expect(new Set(all.items.map((item) => item.of))).toEqual(new Set(['month', 'visit', 'part']))
  const over = all.items.filter(({ standing }) => standing.payers.some(({ overMinor }) => overMinor > 0))
  expect(over.map(homeOf)).toEqual([kept.tankId])
})
