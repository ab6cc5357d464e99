import { beforeAll, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { asDbDate } from '@/lib/office/frame/days'
import { readGaps, readLeftOutVisits } from '@/lib/office/how-often/read-gaps'
import { dayOf } from '@/lib/office/lanes/day-numbers'
import { inScope } from '@/lib/platform/db/scope'
import { makeRound, type Round } from '../visits/round'

const TODAY = dayOf(asDbDate('2026-11-26'))
const MODES = ['protein-skimmer/wheel-clogged', 'protein-skimmer/out-of-tune'] as const
let round: Round

const visit = (on: string, outcome: 'done' | 'cut_short' | 'no_access' = 'done') =>
  inScope(round.scope, (tx) =>
    tx.visit.create({
      data: {
        ...{ businessId: round.businessId, id: newId(), clientId: round.clientId, tankId: round.tankId },
        ...{ siteId: round.siteId, kind: 'routine', state: 'done', outcome, timeZone: 'Europe/London' },
        localDate: asDbDate(on),
      },
    }),
  )
const about = () => ({
  ...{ businessId: round.businessId, id: newId(), tankId: round.tankId },
  equipmentId: round.devices.skimmer.id,
})
const need = (mode: string, on: string) =>
  inScope(round.scope, (tx) =>
    tx.finding.create({
      data: {
        ...{ ...about(), clientId: round.clientId, equipmentClass: 'protein-skimmer', failureMode: mode },
        ...{ asFound: 'needs_it', depth: 'opened', foundOn: asDbDate(on), madeAt: asDbDate(on) },
      },
    }),
  )
const renew = (mode: string, on: string) =>
  inScope(round.scope, (tx) =>
    tx.renewal.create({
      data: {
        ...about(),
        failureMode: mode,
        reason: 'found',
        renewedOn: asDbDate(on),
        madeAt: new Date(`${on}T12:00:00Z`),
      },
    }),
  )
const gaps = () => inScope(round.scope, (tx) => readGaps(tx, round.businessId, TODAY, [round.tankId]))

beforeAll(async () => {
  round = await makeRound()
  // The two years looked back on begin on 26 November 2024.
  for (const mode of MODES) await need(mode, '2024-10-01')
  await renew(MODES[1], '2024-10-01')
  for (const day of ['2025-01-05', '2025-02-05', '2025-03-05']) await visit(day)
  for (const mode of MODES) await need(mode, '2025-02-05')
})

test('a need from before the two years that stayed open is not found anew inside them; one put right meanwhile is', async () => {
  const [tank] = await gaps()
  expect(tank?.gaps.map(({ found }) => found)).toEqual([1, 0])
})

test('a visit left early ends no stretch and is counted as left out; what was found there counts in the stretch', async () => {
  await renew(MODES[1], '2025-02-05')
  await visit('2025-02-19', 'cut_short')
  await visit('2025-02-20', 'no_access')
  await need(MODES[1], '2025-02-19')
  const [tank] = await gaps()
  expect(tank?.gaps.map(({ length, found }) => [length, found])).toEqual([
    [31, 1],
    [28, 1],
  ])
  const left = await inScope(round.scope, (tx) => readLeftOutVisits(tx, round.businessId, TODAY, round.tankId))
  expect(left).toEqual({ cutShort: 1, noAccess: 1 })
})
