import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { estimatesOf } from '@/lib/office/due/estimates'
import type { Actor } from '@/lib/office/frame/actor'
import { dayOf } from '@/lib/office/lanes/day-numbers'
import { refitLifeModels } from '@/lib/office/lanes/rebuild'
import { importRecords, withdrawImport } from '@/lib/office/old-records/commands'
import { findImport } from '@/lib/office/old-records/queries'
import { expectedLives, sampleFiles } from '../../reference/old-records/sample'
import { askAs, testDatabase } from '../../setup/database'
import { accepted, fresh, makeBusiness } from '../clients/register'

/** Tables that an import writes to. */
const TABLES = [
  'person',
  'client',
  'site',
  'tank',
  'tank_client',
  'slot',
  'equipment',
  'agreement',
  'visit',
  'visit_private',
  'finding',
  'renewal',
  'reading',
  'part_used',
  'catalogue_overlay',
  'import_row',
] as const
const DERIVED = ['lane', 'due_item', 'repeat_fault'] as const

async function countsOf(actor: Actor, tables: readonly string[] = TABLES): Promise<Record<string, number>> {
  const counts: Record<string, number> = {}
  await askAs({ role: 'office', businessId: actor.businessId }, async (client) => {
    for (const table of tables) {
      const { rows } = await client.query<{ count: number }>(`select count(*)::int as count from ${table}`)
      counts[table] = rows[0]?.count ?? Number.NaN
    }
  })
  return counts
}

const bringSample = (actor: Actor) =>
  importRecords(actor, { ...fresh(actor), files: sampleFiles(), options: { gallon: 'us' }, mapping: {} })

const brief = async (actor: Actor, batchId: string) => {
  const { report } = (await findImport(actor, batchId)) ?? expect.unreachable()
  return Object.values(report).map(({ added, repeated, rejected }) => [added, repeated, rejected.length])
}

// Source of the counts: the sample's truth.json and README (written by the simulation that made the files). Source of the fits:
// expected-lives.json, R's survival::survreg 3.5 on the same rows.
describe('the old-records sample in the database', { timeout: 180_000 }, () => {
  let owner: Actor
  let before: Record<string, number>
  let batchId: string
  beforeAll(async () => {
    await testDatabase()
    owner = await makeBusiness('Old Harbour Aquatics')
    before = await countsOf(owner)
    batchId = accepted(await bringSample(owner)).batchId
    await refitLifeModels(owner, dayOf(new Date('2026-11-25')))
  }, 240_000)

  test('every good row arrives: 38 clients, 48 tanks, 231 devices, 15,579 rows of visits', async () => {
    expect(await brief(owner, batchId)).toEqual([
      [38, 2, 0],
      [48, 0, 0],
      [231, 0, 0],
      [15_579, 12, 9],
    ])
    const counts = await countsOf(owner)
    expect(counts).toMatchObject({ client: 38, tank: 48, tank_client: 48, equipment: 231, slot: 231, site: 38 })
    expect(counts.person).toBe(1 + 3)
    // A row for each line of clients (client and site), tanks, equipment and visits.
    expect(counts.import_row).toBe(2 * 38 + 48 + 231 + 15_579)
  })

  test('volumes add up to 20,730 litres within 10', async () => {
    const litres = await askAs({ role: 'office', businessId: owner.businessId }, async (client) => {
      const { rows } = await client.query<{ litres: number }>('select sum(volume_l)::float as litres from tank')
      return rows[0]?.litres ?? Number.NaN
    })
    expect(Math.abs(litres - 20_730)).toBeLessThanOrEqual(10)
  })

  test('the gallon is kept: it is not asked about again', async () => {
    const again = await importRecords(owner, { ...fresh(owner), files: sampleFiles(), options: {}, mapping: {} })
    expect(again.ok).toBe(true)
  })

  test('lives from the database are those that R reads in the files', async () => {
    const expected = expectedLives()
    const { estimates } = await estimatesOf(owner)
    const found = new Map(estimates.map((fit) => [`${fit.equipmentClass} / ${fit.failureMode}`, fit]))
    expect([...found.keys()].sort()).toEqual(Object.keys(expected).sort())
    for (const [name, printed] of Object.entries(expected)) {
      const fit = found.get(name) ?? expect.unreachable(name)
      expect([name, fit.lives, fit.events]).toEqual([name, printed.lives, printed.events])
      // R prints seven digits and stops its iteration a little earlier than we do; its unit is the week.
      expect((fit.scaleDays ?? 0) / 7 / printed.scale_weeks).toBeCloseTo(1, 4)
      expect((fit.shape ?? 0) / printed.shape).toBeCloseTo(1, 4)
      // A density per day is a seventh of one per week, but intervals have probabilities: only exact times would shift it.
      expect(fit.logLikelihood ?? 0).toBeCloseTo(printed.loglik, 2)
    }
  })

  test('running it twice adds nothing, at another moment and as the same command', async () => {
    const counts = await countsOf(owner)
    const input = { ...fresh(owner), files: sampleFiles(), options: { gallon: 'us' as const }, mapping: {} }
    const second = accepted(await importRecords(owner, input))
    expect(await brief(owner, second.batchId)).toEqual([
      [0, 40, 0],
      [0, 48, 0],
      [0, 231, 0],
      [0, 15_591, 9],
    ])
    expect(accepted(await importRecords(owner, input))).toEqual(second)
    expect(await countsOf(owner)).toEqual(counts)
  })

  test('taking it back hides all of it, and the same files arrive in full again', async () => {
    const counts = await countsOf(owner)
    accepted(await withdrawImport(owner, { ...fresh(owner), batchId }))
    expect(await countsOf(owner)).toEqual(before)
    expect(await countsOf(owner, DERIVED)).toEqual({ lane: 0, due_item: 0, repeat_fault: 0 })
    expect(await withdrawImport(owner, { ...fresh(owner), batchId })).toMatchObject({
      ok: false,
      reason: 'already-so',
    })
    await refitLifeModels(owner, dayOf(new Date('2026-11-25')))
    expect((await estimatesOf(owner)).estimates).toEqual([])

    const again = accepted(await bringSample(owner))
    expect(again.added).toEqual({ clients: 38, tanks: 48, equipment: 231, visits: 15_579 })
    expect(await countsOf(owner)).toEqual(counts)
  })

  test('another business sees none of it', async () => {
    const other = await makeBusiness('Elsewhere')
    const counts = await countsOf(other)
    expect({ ...counts, person: counts.person }).toEqual({
      ...Object.fromEntries(TABLES.map((table) => [table, 0])),
      person: 1,
    })
    expect(await withdrawImport(other, { ...fresh(other), batchId })).toMatchObject({
      ok: false,
      reason: 'not-found',
    })
    expect(await withdrawImport(other, { commandId: newId(), businessId: owner.businessId, batchId })).toMatchObject({
      ok: false,
      reason: 'other-business',
    })
  })
})
