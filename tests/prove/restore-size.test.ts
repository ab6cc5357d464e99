import { createHash } from 'node:crypto'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { checkBackup, restoreBackup, writeBackup } from '@/lib/platform/backup'
import { folderStore } from '@/lib/platform/files/file-store'
import { writeLargeBusiness } from '../bench/large-business'
import { checksums } from '../platform/backup/compare-databases'
import { askAs, testDatabase } from '../setup/database'
import { anotherDatabase, asOwner } from '../setup/more-databases'

const TANKS = 600
const VISITS_PER_TANK = 50

const PHOTOS = 20_000
/** Four photos each are the same picture, which is kept once. */
const FILES = PHOTOS / 4

test('30,000 visits, 20,000 photos in 5,000 files, and a table of more than 50 MB, come back the same', async () => {
  const folder = await mkdtemp(path.join(tmpdir(), 'restore-size-'))
  try {
    const { ownerUrl } = await testDatabase()
    const { businessId, visits, looks } = await writeLargeBusiness(ownerUrl, {
      tanks: TANKS,
      visitsPerTank: VISITS_PER_TANK,
    })
    expect(visits).toBe(TANKS * VISITS_PER_TANK)
    const files = folderStore(path.join(folder, 'files'))
    await addPhotos(businessId, files)
    const bytes = await asOwner(ownerUrl, async (client) => {
      const { rows } = await client.query("select pg_table_size('finding')::float8 as bytes")
      return Number(rows[0].bytes)
    })
    expect(bytes).toBeGreaterThan(50e6)

    const now = new Date('2026-11-29T02:40:00Z')
    const nightly = await writeBackup({ ownerUrl, files, file: path.join(folder, 'backup', 'nightly.tar.gz'), now })
    const again = await writeBackup({ ownerUrl, files, file: path.join(folder, 'backup', 'next.tar.gz'), now })
    const whole = await writeBackup({ ownerUrl, files, file: path.join(folder, 'whole.tar.gz'), whole: true, now })
    expect([nightly.copied, again.copied, whole.files]).toEqual([FILES, 0, FILES])
    console.info(
      `${visits} visits, ${looks} looks (a table of ${(bytes / 1e6).toFixed(0)} MB): nightly ${(nightly.bytes / 1e6).toFixed(1)} MB, whole ${(whole.bytes / 1e6).toFixed(1)} MB`,
    )
    await checkBackup(nightly.file, { everyFile: true })

    const wanted = await checksums(ownerUrl)
    expect(wanted.find((table) => table.name === 'public.photo')?.rows).toBe(PHOTOS)
    for (const { file } of [nightly, whole]) {
      const copyUrl = await anotherDatabase('bare')
      const filesFolder = path.join(folder, `of ${path.basename(file)}`)
      expect(await restoreBackup({ ownerUrl: copyUrl, filesFolder, file })).toMatchObject({ files: FILES })
      expect(await checksums(copyUrl)).toEqual(wanted)
      let found = 0
      for await (const _ of folderStore(filesFolder).list()) found += 1
      expect(found).toBe(FILES)
    }
  } finally {
    await rm(folder, { recursive: true, force: true })
  }
})

/** A small file and its row for as many visits. */
async function addPhotos(businessId: string, files: ReturnType<typeof folderStore>): Promise<void> {
  await askAs({ role: 'office', businessId }, async (client) => {
    const { rows } = await client.query<{ id: string }>('select id from visit order by id limit $1', [PHOTOS])
    const hashes: string[] = []
    for (const index of rows.keys()) {
      const bytes = Buffer.alloc(1500, `picture ${index % FILES} `)
      hashes.push(await files.put(businessId, bytes))
      if (hashes.length === 1) expect(hashes[0]).toBe(createHash('sha256').update(bytes).digest('hex'))
    }
    await client.query(
      `insert into photo (business_id, id, client_id, tank_id, visit_id, sha256, media_type, width_px, height_px, size_bytes, taken_at)
       select visit.business_id, photo.id, client_id, tank_id, visit.id, sha256, 'image/webp', 10, 10, 1500, '2026-01-01'
         from visit join unnest($1::uuid[], $2::uuid[], $3::text[]) photo (id, visit, sha256) on photo.visit = visit.id`,
      [rows.map(() => newId()), rows.map(({ id }) => id), hashes],
    )
  })
}
