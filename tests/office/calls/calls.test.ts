import { beforeAll, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { logCall } from '@/lib/office/calls/commands'
import { callPage, tanksByWords } from '@/lib/office/calls/queries'
import { inScope } from '@/lib/platform/db/scope'
import { bookVisit, makeRound, type Round } from '../visits/round'

let round: Round
beforeAll(async () => {
  round = await makeRound()
})

const call = (over: Record<string, unknown> = {}) => ({
  ...{ commandId: newId(), businessId: round.businessId, tankId: round.tankId, sign: 'gasping' },
  ...{ said: 'they hang at the surface', told: 'Air on, windows open.', verdict: 'go' as const },
  ...over,
})

test('the tank is found by what people say, and its screen says what hangs on it and what to tell', async () => {
  const { tanks } = await tanksByWords(round.actor, 'Ellery hall')
  expect(tanks.map(({ id }) => id)).toContain(round.tankId)
  expect(await tanksByWords(round.actor, '')).toEqual({ tanks: [], more: 0 })
  const page = await callPage(round.actor, round.tankId)
  expect(page?.devices).toHaveLength(3)
  expect(page?.scripts.map(({ slug }) => slug)).toContain('cup-overflows')
  expect(page?.first[0]).toContain('hurt')
  const other = await makeRound()
  expect(await callPage(other.actor, round.tankId)).toBeNull()
})

test('a call is written down once, with whoever took it, and stays as it is', async () => {
  const said = call()
  expect(await logCall(round.actor, said)).toEqual({ ok: true, value: { tankId: round.tankId } })
  expect(await logCall(round.actor, said)).toMatchObject({ ok: true })
  expect((await callPage(round.actor, round.tankId))?.calls).toMatchObject([
    { sign: 'Fish are gasping', said: 'they hang at the surface', person: 'Priya', goes: true },
  ])
  expect(await logCall(round.actor, call({ sign: 'nonsense' }))).toMatchObject({ ok: false, reason: 'invalid' })
  expect(await logCall(round.actor, call({ sign: 'other', said: '' }))).toMatchObject({ ok: false, reason: 'invalid' })
  expect(await logCall(round.actor, call({ tankId: newId() }))).toMatchObject({ ok: false, reason: 'not-found' })
  const change = inScope(round.scope, (tx) => tx.phoneCall.updateMany({ data: { told: 'something else' } }))
  await expect(change).rejects.toThrow()
  await bookVisit(round)
})
