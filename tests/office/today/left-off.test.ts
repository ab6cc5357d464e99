import { beforeAll, expect, test } from 'vitest'
import { devicesLeftOff } from '@/lib/office/today/left-off'
import { todayOf } from '@/lib/office/today/queries'
import { inScope } from '@/lib/platform/db/scope'
import { bookVisit, makePhone, makeRound, type Round, VISIT_DAY } from '../visits/round'
import { checks, sendAs } from '../visits/say'

let round: Round
beforeAll(async () => {
  round = await makeRound()
})

test('what a visit switched off and never on again stands on Today until a visit ends as planned', async () => {
  const now = new Date(`${VISIT_DAY}T18:00:00Z`)
  const off = ['return-pump', 'heater', 'auto-top-up']
  const first = makePhone(round, await bookVisit(round))
  await sendAs(
    round.actor,
    first({ kind: 'visit.switch-off', devices: off }),
    first({ kind: 'visit.switch-on', devices: ['auto-top-up'] }),
  )
  const leftOff = () => inScope(round.scope, (tx) => devicesLeftOff(tx, round.businessId, VISIT_DAY))
  // While somebody is there it is as it should be.
  expect(await leftOff()).toEqual([])
  await sendAs(
    round.actor,
    first({ kind: 'visit.leave', outcome: 'cut_short', minutes: 5, leavingCheckDone: [], leftEarlyReason: 'Alarm' }),
  )
  expect((await todayOf(round.actor, now)).leftOff).toMatchObject([
    { tankId: round.tankId, devices: ['Return pump', 'Heater'], date: VISIT_DAY },
  ])
  const second = makePhone(round, await bookVisit(round), 'phone-b', '14:00')
  const done = { kind: 'visit.leave' as const, outcome: 'done' as const, minutes: 5, leavingCheckDone: checks([]) }
  await sendAs(round.actor, second({ kind: 'visit.arrive' }), second(done))
  expect(await leftOff()).toEqual([])
})
