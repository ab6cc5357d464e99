import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { restoreBackup, writeBackup } from '@/lib/platform/backup'
import { inScope } from '@/lib/platform/db/scope'
import { folderStore } from '@/lib/platform/files/file-store'
import { testDatabase } from '../../setup/database'
import { anotherDatabase, asOwner } from '../../setup/more-databases'

// Stated by itself: each of four writers adds, in one transaction, a step to three tables that a backup reads first, between and last.
// Whatever moment the backup took, each writer's steps in the three tables are the same ones, without a gap.

const WRITERS = 4
let folder = ''
beforeAll(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'writing-'))
})
afterAll(() => rm(folder, { recursive: true, force: true }))

test('a backup taken while four people write is of one moment', async () => {
  const { ownerUrl } = await testDatabase()
  const files = folderStore(path.join(folder, 'files'))
  const businesses = Array.from({ length: WRITERS }, () => newId())
  await Promise.all(businesses.map(begin))
  let isOver = false
  const written = new Map(businesses.map((businessId) => [businessId, 0]))
  const writing = businesses.map(async (businessId) => {
    for (let step = 1; !isOver; step += 1) {
      await writeStep(businessId, step, files)
      written.set(businessId, step)
      // As people do, not as fast as the machine can: else a slow disk copies files for as long as they are made.
      await new Promise((resolve) => setTimeout(resolve, 25))
    }
  })
  while ([...written.values()].some((steps) => steps < 3)) await new Promise((resolve) => setTimeout(resolve, 5))
  const before = new Map(written)
  const { file } = await writeBackup({
    ownerUrl,
    files,
    file: path.join(folder, 'backup', 'one.tar.gz'),
    now: new Date('2026-11-29T12:00:00Z'),
  })
  isOver = true
  await Promise.all(writing)

  const copyUrl = await anotherDatabase('bare')
  await restoreBackup({ ownerUrl: copyUrl, filesFolder: path.join(folder, 'copy'), file })
  const kept = await asOwner(copyUrl, async (client) => {
    await client.query('begin')
    for (const table of ['audit', 'client', 'supplier'])
      await client.query(`alter table ${table} no force row level security`)
    const steps = await client.query<{ business_id: string; steps: string[] }>(
      `select id as business_id, array[
         (select string_agg(entity_id::text, ' ' order by entity_id) from audit where audit.business_id = business.id),
         (select string_agg(id::text, ' ' order by id) from client where client.business_id = business.id),
         (select string_agg(id::text, ' ' order by id) from supplier where supplier.business_id = business.id)] as steps
       from (select distinct business_id as id from client) business`,
    )
    await client.query('rollback')
    return steps.rows
  })
  expect(kept.map((row) => row.business_id).sort()).toEqual([...businesses].sort())
  for (const { business_id: businessId, steps } of kept) {
    const [first = '', ...others] = steps
    for (const other of others) expect(other).toBe(first)
    const numbers = first.split(' ').map((id) => Number.parseInt(id.slice(-6), 16))
    expect(numbers).toEqual(numbers.map((_, index) => index + 1))
    expect(numbers.length).toBeGreaterThanOrEqual(before.get(businessId) ?? 0)
    expect(numbers.length).toBeLessThan(written.get(businessId) ?? 0) // else nobody wrote meanwhile, and nothing is shown
  }
}, 240_000)

const stepId = (step: number) => `00000000-0000-7000-8000-${step.toString(16).padStart(12, '0')}`

async function begin(businessId: string): Promise<void> {
  await inScope({ role: 'office', businessId, personId: businessId }, async (tx) => {
    await tx.business.create({ data: { id: businessId, name: 'Busy' } })
    await tx.person.create({ data: { businessId, id: businessId, name: 'Writer' } })
    // Rows between the first table and the last, so that reading takes a while.
    await tx.part.createMany({
      data: Array.from({ length: 2000 }, (_, n) => ({
        businessId,
        id: newId(),
        name: `${n} ${'A long name. '.repeat(20)}`,
      })),
    })
  })
}

async function writeStep(businessId: string, step: number, files: ReturnType<typeof folderStore>): Promise<void> {
  const id = stepId(step)
  await files.put(businessId, Buffer.from(`${businessId} ${step}`)) // as a photo: kept before its row is
  await inScope({ role: 'office', businessId, personId: businessId }, async (tx) => {
    await tx.client.create({ data: { businessId, id, name: `Client ${step}` } })
    await tx.supplier.create({ data: { businessId, id, name: `Supplier ${step}` } })
    await tx.audit.create({
      data: { businessId, id: newId(), entity: 'client', entityId: id, action: 'add', personId: businessId },
    })
  })
}
