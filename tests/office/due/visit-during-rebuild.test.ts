import { Client } from 'pg'
import { beforeAll, expect, test } from 'vitest'
import { rebuildDerived, refitLifeModels } from '@/lib/office/lanes/rebuild'
import { recomputeStale } from '@/lib/office/lanes/recompute-stale'
import { markClassesStale } from '@/lib/office/lanes/stale-lanes'
import { applyVisitCommand } from '@/lib/office/visits/commands'
import { inScope } from '@/lib/platform/db/scope'
import { testDatabase } from '../../setup/database'
import { bookVisit, look, makePhone, makeRound, type Round } from '../visits/round'

/** 26 November 2026. */
const TODAY_DAY = 20_783

let round: Round
let appUrl: string
beforeAll(async () => {
  ;({ appUrl } = await testDatabase())
  round = await makeRound()
})

const read = () =>
  inScope(round.scope, async (tx) => ({
    lanes: await tx.lane.findMany({ orderBy: [{ equipmentId: 'asc' }, { failureMode: 'asc' }] }),
    due: await tx.dueItem.findMany({ orderBy: [{ equipmentId: 'asc' }, { careTask: 'asc' }] }),
    faults: await tx.repeatFault.findMany({ orderBy: [{ tankId: 'asc' }, { failureMode: 'asc' }] }),
  }))
const countMarks = () => inScope(round.scope, (tx) => tx.staleLane.count())

/** Holds a lane's row, so that whoever makes all lanes again stands still in the middle of it until `release`. */
async function holdALane(): Promise<{ release: () => Promise<void> }> {
  const client = new Client({ connectionString: appUrl })
  client.on('error', () => undefined) // the database may be dropped under a test that failed
  await client.connect()
  await client.query('BEGIN')
  await client.query('SET LOCAL ROLE tankround_office')
  await client.query(`SELECT set_config('app.business_id', $1, true)`, [round.businessId])
  const { rowCount } = await client.query('SELECT 1 FROM lane LIMIT 1 FOR UPDATE')
  if (rowCount !== 1) throw new Error('there is no lane to hold')
  return {
    release: async () => {
      await client.query('COMMIT')
      await client.end()
    },
  }
}

const needsIt = (visitId: string) =>
  makePhone(
    round,
    visitId,
  )({
    kind: 'visit.record-looks',
    looks: [look(round.devices.skimmer.id, 'protein-skimmer/wheel-clogged', 'needs_it')],
  })

test('a visit while all lanes are made again commits at once, and what is due is right afterwards', async () => {
  const visitId = await bookVisit(round)
  const phone = makePhone(round, visitId)
  await applyVisitCommand(round.actor, phone({ kind: 'visit.arrive' }))
  await applyVisitCommand(
    round.actor,
    phone({ kind: 'visit.record-looks', looks: [look(round.devices.heater.id, 'heater/reads-off')] }),
  )
  await refitLifeModels({ businessId: round.businessId, personId: round.personId }, TODAY_DAY)

  const held = await holdALane()
  let rebuilt = false
  const rebuild = rebuildDerived(round).then(() => {
    rebuilt = true
  })
  try {
    await expect.poll(async () => isRebuilding(), { timeout: 20_000 }).toBe(true)
    expect(await applyVisitCommand(round.actor, needsIt(visitId))).toMatchObject({ ok: true })
    expect(rebuilt).toBe(false)
    expect(await countMarks()).toBe(1)
  } finally {
    await held.release()
    await rebuild
  }
  expect(await countMarks()).toBe(0)
  const after = await read()
  expect(after.lanes.find(({ failureMode }) => failureMode === 'protein-skimmer/wheel-clogged')).toMatchObject({
    looks: 1,
  })
  await rebuildDerived(round)
  expect(await read()).toEqual(after)
})

/** Whether somebody has the lanes of the business to himself. */
async function isRebuilding(): Promise<boolean> {
  const [row] = await inScope(
    round.scope,
    (tx) =>
      tx.$queryRaw<{ free: boolean }[]>`
      SELECT pg_try_advisory_xact_lock_shared(hashtextextended(${`derived ${round.businessId}`}, 0)) AS free`,
  )
  return row?.free === false
}

test('costs mark the devices of their class, and the worker makes just those again', async () => {
  await inScope(round.scope, (tx) => markClassesStale(tx, round.businessId, ['heater']))
  // Two heaters: one at the tank of the round, one at the other.
  expect(await countMarks()).toBe(2)
  const before = await read()
  await recomputeStale(round)
  expect(await countMarks()).toBe(0)
  expect(await read()).toEqual(before)
})
