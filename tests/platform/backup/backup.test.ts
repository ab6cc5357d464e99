import { createHash } from 'node:crypto'
import { mkdir, mkdtemp, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { gunzipSync, gzipSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { checkBackup, noteBackup, restoreBackup, writeBackup } from '@/lib/platform/backup'
import { MIGRATION_LOCK } from '@/lib/platform/db/migrations'
import { inScope, type Scope } from '@/lib/platform/db/scope'
import { type FileStore, folderStore } from '@/lib/platform/files/file-store'
import { testDatabase } from '../../setup/database'
import { anotherDatabase, asOwner } from '../../setup/more-databases'
import { checksums, guardsOf } from './compare-databases'

// What a backup must hold is stated by itself: every row and every file, the same after as before.

/** Characters that Postgres' text form must write in another way, or that other encodings break. */
const HARD_TEXT = 'tab\t newline\n return\r backslash \\ \\N \\. quote " \' null? Łódź 水槽 🐠 \u2028'
const NOW = new Date('2026-11-25T12:00:00Z')
const businessIds = [newId(), newId()]
const [firstBusiness = ''] = businessIds
const contents = [Buffer.from([0, 1, 2, 255, 10, 13, 0]), Buffer.alloc(0), Buffer.alloc(3_000_000, 'tank')]
let folder = ''
let ownerUrl = ''
let files: FileStore

beforeAll(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'backup-test-'))
  ownerUrl = (await testDatabase()).ownerUrl
  for (const businessId of businessIds) await fillBusiness(businessId)
  files = folderStore(path.join(folder, 'files-of-business'))
  for (const bytes of contents) await files.put(firstBusiness, bytes)
})

afterAll(() => rm(folder, { recursive: true, force: true }))

/** Takes a backup under this name, in a folder of its own. */
const take = (name: string, more: { whole?: boolean; orNext?: boolean } = {}) =>
  writeBackup({ ownerUrl, files, file: path.join(folder, name, 'one.tar.gz'), now: NOW, ...more })

/** Every file below a folder, by its path and hash. */
async function filesIn(below: string): Promise<Record<string, string>> {
  const entries = await readdir(below, { recursive: true, withFileTypes: true }).catch(() => [])
  const found = entries.filter((entry) => entry.isFile()).map((entry) => path.join(entry.parentPath, entry.name))
  const hashes = found.sort().map(async (file) => {
    const hash = createHash('sha256').update(await readFile(file))
    return [path.relative(below, file), hash.digest('hex')]
  })
  return Object.fromEntries(await Promise.all(hashes))
}

describe('a backup', () => {
  test.each([
    ['with its files beside it, into a bare database', false, 'bare'],
    ['all in one file, into a migrated one', true, 'migrated'],
  ] as const)('%s, restores: every table, guard and file the same', async (_name, whole, kind) => {
    const written = await take(kind, { whole })
    const archive = await readFile(written.file)
    expect(written).toMatchObject({ bytes: archive.length, files: 3, damagedFiles: [] })
    expect(createHash('sha256').update(archive).digest('hex')).toBe(written.sha256)

    const copyUrl = await anotherDatabase(kind)
    const filesFolder = path.join(folder, kind, 'files-of-copy')
    const restored = await restoreBackup({ ownerUrl: copyUrl, filesFolder, file: written.file })

    const before = await checksums(ownerUrl)
    expect(await checksums(copyUrl)).toEqual(before)
    const rows = before.reduce((sum, table) => sum + table.rows, 0)
    expect(restored).toMatchObject({ rows, files: 3, missingFiles: 0 })
    expect(before.find((table) => table.name === 'public.tank')?.rows).toBe(2)
    expect(before.find((table) => table.name === 'public.invoice_line')?.rows).toBe(2)
    const guards = await guardsOf(await anotherDatabase('migrated'))
    expect(guards.length).toBeGreaterThan(500)
    expect(await guardsOf(copyUrl)).toEqual(guards)
    const kept = await filesIn(filesFolder)
    expect(kept).toEqual(await filesIn(path.join(folder, 'files-of-business')))
    for (const [name, hash] of Object.entries(kept)) expect(name).toBe(`${firstBusiness}/${hash}`)
    // No further check for FORCE: the owner is refused an append-only change and sees no row without the backup's role.
    const seen = await asOwner(copyUrl, (client) => client.query('select count(*)::int as n from tank'))
    expect(seen.rows[0]).toEqual({ n: 0 })
  })

  test('holds tables of many pieces', async () => {
    const businessId = newId()
    await inScope({ role: 'office', businessId, personId: newId() }, async (tx) => {
      await tx.business.create({ data: { id: businessId, name: 'Large' } })
      // 4 MB of rows: four pieces in the archive, the last of which ends in the middle of nothing.
      const name = 'A name of some length, repeated. '.repeat(15)
      await tx.client.createMany({
        data: Array.from({ length: 8000 }, (_, number) => ({ businessId, id: newId(), name: `${number} ${name}` })),
      })
    })
    const { file } = await take('pieces')
    expect(gunzipSync(await readFile(file)).includes('rows/public.client/000004')).toBe(true)
    const copyUrl = await anotherDatabase('bare')
    await restoreBackup({ ownerUrl: copyUrl, filesFolder: path.join(folder, 'pieces-files'), file })
    expect(await checksums(copyUrl)).toEqual(await checksums(ownerUrl))
  })

  test('copies each file once, and names one that the disk has changed', async () => {
    const mine = path.join(folder, 'own')
    const own = folderStore(path.join(mine, 'live'))
    for (const bytes of contents) await own.put(firstBusiness, bytes)
    const backUp = (name: string) => writeBackup({ ownerUrl, files: own, file: path.join(mine, name), now: NOW })
    expect(await backUp('monday.tar.gz')).toMatchObject({ files: 3, copied: 3 })
    const copies = await filesIn(path.join(mine, 'files'))
    const large = await own.put(firstBusiness, Buffer.from('one more'))
    const tuesday = await backUp('tuesday.tar.gz')
    expect(tuesday).toMatchObject({ files: 4, copied: 1 })
    expect(await filesIn(path.join(mine, 'files'))).toMatchObject(copies)
    expect(gunzipSync(await readFile(tuesday.file)).includes('tanktank')).toBe(false) // the nightly archive has no file in it

    const spoilt = await own.put(firstBusiness, Buffer.from('will be changed'))
    await writeFile(path.join(mine, 'live', firstBusiness, spoilt), 'has been changed')
    const wednesday = await backUp('wednesday.tar.gz')
    expect(wednesday).toMatchObject({ files: 4, copied: 0, damagedFiles: [`${firstBusiness}/${spoilt}`] })

    // What lies beside is read to the end only when asked: its name and size are looked at every night.
    const copy = path.join(mine, 'files', firstBusiness, large)
    await writeFile(copy, 'one mode')
    await checkBackup(wednesday.file)
    await expect(checkBackup(wednesday.file, { everyFile: true })).rejects.toThrow(
      /1 of the 4 files .* missing or changed/,
    )
    // Within four weeks its turn comes, and it is copied anew.
    let copiedAnew = 0
    for (let night = 0; night < 28; night++) {
      const at = new Date(NOW.getTime() + night * 86_400_000)
      const file = path.join(mine, `night-${night}.tar.gz`)
      copiedAnew += (await writeBackup({ ownerUrl, files: own, file, now: at })).copied
    }
    expect(copiedAnew).toBe(1)
    await checkBackup(wednesday.file, { everyFile: true })
    await writeFile(copy, 'one mode')
    const restore = (more: { withoutMissingFiles?: boolean }) => async () =>
      restoreBackup({
        ownerUrl: await anotherDatabase('bare'),
        filesFolder: path.join(mine, 'of-copy'),
        file: wednesday.file,
        ...more,
      })
    await expect(restore({})).rejects.toThrow(/1 of the 4 files .* --without-missing-files/)
    expect(await filesIn(path.join(mine, 'of-copy'))).toEqual({})
    expect(await restore({ withoutMissingFiles: true })()).toMatchObject({ files: 3, missingFiles: 1 })
  })

  test('never takes the name of another', async () => {
    const [first, second] = await Promise.all([take('names', { orNext: true }), take('names', { orNext: true })])
    expect([first.file, second.file].map((file) => path.basename(file)).sort()).toEqual(['one-2.tar.gz', 'one.tar.gz'])
    const before = await filesIn(path.join(folder, 'names'))
    await expect(take('names')).rejects.toThrow(/already.*another name/)
    expect(await filesIn(path.join(folder, 'names'))).toEqual(before)
    // For its owner only: it holds every name and address.
    expect((await stat(first.file)).mode & 0o777).toBe(0o600)
    expect((await stat(path.dirname(first.file))).mode & 0o777).toBe(0o700)
  })

  test('clears away the half that an earlier one left', async () => {
    const half = path.join(folder, 'halves', 'tankround.tar.gz.12345.part')
    await mkdir(path.dirname(half), { recursive: true })
    await writeFile(half, 'cut off')
    await writeBackup({
      ownerUrl,
      files,
      file: path.join(folder, 'halves', 'a'),
      now: new Date('2999-01-01T00:00:00Z'),
    })
    expect((await readdir(path.dirname(half))).sort()).toEqual(['a', 'files'])
  })

  test('the same data gives the same archive', async () => {
    const [first, second] = [await take('same-1', { whole: true }), await take('same-2', { whole: true })]
    const content = async (file: string) => withoutTimes(gunzipSync(await readFile(file)))
    expect((await content(first.file)).equals(await content(second.file))).toBe(true)
  })

  test('is refused by a database that holds data, and changes nothing there', async () => {
    const { file } = await take('refused')
    const before = await checksums(ownerUrl)
    const filesFolder = path.join(folder, 'nowhere')
    await expect(restoreBackup({ ownerUrl, filesFolder, file })).rejects.toThrow(/already holds data/)
    expect(await checksums(ownerUrl)).toEqual(before)
    expect(await filesIn(filesFolder)).toEqual({})
  })

  test('is refused in words where there is nothing, and where nobody answers', async () => {
    const nothing = {
      ownerUrl: await anotherDatabase('bare'),
      files,
      file: path.join(folder, 'nothing', 'a'),
      now: NOW,
    }
    await expect(writeBackup(nothing)).rejects.toThrow(/nothing in this database/)
    const nobody = 'postgresql://nobody:x@127.0.0.1:1/none'
    await expect(writeBackup({ ...nothing, ownerUrl: nobody })).rejects.toThrow(/127.0.0.1:1 does not answer/)
    expect(await filesIn(path.join(folder, 'nothing'))).toEqual({})
    const { file } = await take('unanswered')
    const restored = restoreBackup({ ownerUrl: nobody, filesFolder: path.join(folder, 'unanswered-files'), file })
    await expect(restored).rejects.toThrow(/127.0.0.1:1 does not answer/)
  })

  test('is noted for whoever looks at Today', async () => {
    const url = await anotherDatabase('migrated')
    await noteBackup(url, { bytes: 5_000_000_000, sha256: 'a'.repeat(64) })
    const { rows } = await asOwner(url, (client) => client.query('select size_bytes, sha256 from identity.backup_run'))
    expect(rows).toEqual([{ size_bytes: '5000000000', sha256: 'a'.repeat(64) }])
  })

  test('is refused where somebody is at work on the database', async () => {
    const { file } = await take('busy')
    const copyUrl = await anotherDatabase('migrated')
    await asOwner(copyUrl, async (client) => {
      await client.query(`select pg_advisory_lock(${MIGRATION_LOCK})`)
      const restored = restoreBackup({ ownerUrl: copyUrl, filesFolder: path.join(folder, 'busy-files'), file })
      await expect(restored).rejects.toThrow(/being migrated, restored or backed up/)
    })
  })

  test.each([
    ['cut off', (tar: Buffer) => gzipSync(tar).subarray(0, 900), /damaged/],
    ['without its end', (tar: Buffer) => gzipSync(tar.subarray(0, tar.indexOf('manifest.json'))), /damaged/],
    ['no backup at all', () => Buffer.from('something else'), /damaged/],
    [
      'with one letter of one row changed',
      (tar: Buffer) => gzipSync(swap(tar, 'Reef by the stairs', 'Reef by the stairz')),
      /damaged/,
    ],
    [
      'with one letter of one file changed',
      (tar: Buffer) => gzipSync(swap(tar, 'tanktank', 'tanktanc')),
      /changed|damaged/,
    ],
    ['of a newer version', (tar: Buffer) => gzipSync(swap(tar, '_first"', '_furst"')), /newer Tankround/],
    ['of a newer layout', (tar: Buffer) => gzipSync(swap(tar, '"format": 2', '"format": 3')), /newer Tankround/],
  ])('%s is refused, and nothing is left behind', async (name, spoil, words) => {
    const { file } = await take(`spoilt ${name}`, { whole: true })
    await writeFile(file, spoil(gunzipSync(await readFile(file))))
    if (!name.startsWith('of a newer version')) await expect(checkBackup(file)).rejects.toThrow(words)
    const copyUrl = await anotherDatabase('bare')
    const filesFolder = path.join(folder, `spoilt ${name}`, 'files-of-copy')
    await expect(restoreBackup({ ownerUrl: copyUrl, filesFolder, file })).rejects.toThrow(words)
    expect(await checksums(copyUrl)).toEqual([])
    expect(await filesIn(filesFolder)).toEqual({})
  })

  test('of which a row does not fit is refused, and nothing is left behind', async () => {
    const written = await take('unfit', { whole: true })
    // Right by its own hashes, but with a foreign key that leads nowhere: only Postgres sees it.
    await writeFile(written.file, gzipSync(resealed(gunzipSync(await readFile(written.file)))))
    await checkBackup(written.file)
    const copyUrl = await anotherDatabase('migrated')
    const filesFolder = path.join(folder, 'unfit-files')
    await expect(restoreBackup({ ownerUrl: copyUrl, filesFolder, file: written.file })).rejects.toThrow(
      /refused this backup.*foreign key.*Nothing was changed/,
    )
    expect((await checksums(copyUrl)).every((table) => table.rows === 0)).toBe(true)
    expect(await guardsOf(copyUrl)).toEqual(await guardsOf(await anotherDatabase('migrated')))
    expect(await filesIn(filesFolder)).toEqual({})
  })
})

/** A business with what is hard to restore: history that refuses changes, an issued invoice, rows of a withdrawn import. */
async function fillBusiness(businessId: string): Promise<void> {
  const personId = newId()
  const scope: Scope = { role: 'office', businessId, personId }
  const [clientId, siteId, tankId, batchId, findingId, invoiceId] = [
    newId(),
    newId(),
    newId(),
    newId(),
    newId(),
    newId(),
  ]
  const day = new Date('2026-03-29')
  await inScope(scope, async (tx) => {
    await tx.business.create({ data: { id: businessId, name: HARD_TEXT } })
    await tx.person.create({ data: { businessId, id: personId, name: '' } })
    await tx.membership.create({ data: { businessId, id: newId(), personId, roles: ['owner', 'technician'] } })
    await tx.client.create({ data: { businessId, id: clientId, name: 'Client' } })
    await tx.site.create({
      data: { businessId, id: siteId, clientId, name: 'Site', latitude: 0.1 + 0.2, longitude: -1e-300 },
    })
    await tx.tank.create({
      data: {
        businessId,
        id: tankId,
        clientId,
        siteId,
        name: 'Reef by the stairs',
        profile: 'reef',
        volumeL: '123456789.125',
      },
    })
    await tx.tankClient.create({ data: { businessId, id: newId(), clientId, tankId, since: day } })
    const finding = {
      businessId,
      clientId,
      tankId,
      equipmentClass: 'pump',
      failureMode: 'worn',
      depth: 'opened',
      foundOn: day,
      madeAt: NOW,
    }
    await tx.finding.create({ data: { ...finding, id: findingId, asFound: 'failed', remedy: HARD_TEXT } })
    await tx.finding.create({ data: { ...finding, id: newId(), asFound: 'ok', correctsId: findingId } })
    await tx.importBatch.create({
      data: {
        businessId,
        id: batchId,
        fileNames: ['a,b', '{"c"}', ''],
        options: { deep: [HARD_TEXT, null, 1e21] },
        withdrawnAt: NOW,
      },
    })
    await tx.invoice.create({ data: { businessId, id: invoiceId, clientId, currency: 'GBP' } })
    const line = {
      description: 'Visit',
      quantity: '1.125',
      unitPrice: '0.0001',
      netMinor: 1,
      taxCategory: 'S',
      taxRate: '20',
    }
    await tx.invoiceLine.create({ data: { businessId, id: newId(), clientId, invoiceId, position: 1, ...line } })
    await tx.invoice.update({
      where: { businessId_id: { businessId, id: invoiceId } },
      data: { state: 'issued', number: '1', issuedOn: day, issuedAt: NOW },
    })
    await tx.command.create({
      data: {
        businessId,
        id: newId(),
        deviceId: 'desk',
        deviceSeq: 0,
        madeAt: NOW,
        kind: 'test',
        payload: { HARD_TEXT },
        status: 'refused',
        reason: HARD_TEXT,
        personId,
      },
    })
  })
  // A client of a withdrawn import: hidden from everybody, and still part of the data.
  await inScope(scope, async (tx) => {
    await tx.importBatch.update({ where: { businessId_id: { businessId, id: batchId } }, data: { withdrawnAt: null } })
    await tx.client.create({ data: { businessId, id: newId(), name: 'Withdrawn', importBatchId: batchId } })
    await tx.importBatch.update({
      where: { businessId_id: { businessId, id: batchId } },
      data: { withdrawnAt: NOW },
    })
  })
}

/** A tar without the times in its headers (and their checksums), which say when it was packed. */
function withoutTimes(tar: Buffer): Buffer {
  const copy = Buffer.from(tar)
  for (let at = 0; at + 512 <= copy.length; ) {
    if (copy[at] === 0) break
    const size = Number.parseInt(copy.toString('ascii', at + 124, at + 136), 8)
    copy.fill(0, at + 136, at + 156)
    at += 512 + Math.ceil(size / 512) * 512
  }
  return copy
}

function swap(tar: Buffer, from: string, to: string): Buffer {
  const at = tar.indexOf(from)
  if (at < 0) throw new Error(`the archive does not hold "${from}"`)
  const copy = Buffer.from(tar)
  copy.write(to, at)
  return copy
}

/** Gives every site to a client that does not exist, and seals the archive again. */
function resealed(tar: Buffer): Buffer {
  const copy = Buffer.from(tar)
  const [start, end] = entryAt(copy, 'rows/public.site/000001')
  const [from, to] = entryAt(copy, 'about.json')
  const about: { tables: { name: string; columns: string[] }[] } = JSON.parse(copy.toString('utf8', from, to))
  const column = about.tables.find((table) => table.name === 'site')?.columns.indexOf('client_id') ?? -1
  const rows = copy
    .toString('latin1', start, end)
    .replace(/\n$/, '')
    .split('\n')
    .map((row) => row.split('\t').with(column, newId()).join('\t'))
    .join('\n')
  const was = createHash('sha256').update(copy.subarray(start, end)).digest('hex')
  copy.write(`${rows}\n`, start, 'latin1')
  const now = createHash('sha256').update(copy.subarray(start, end)).digest('hex')
  return swap(copy, was, now)
}

/** Where the content of an entry begins and ends. */
function entryAt(tar: Buffer, name: string): [number, number] {
  const at = tar.indexOf(name)
  const size = Number.parseInt(tar.toString('ascii', at + 124, at + 136), 8)
  return [at + 512, at + 512 + size]
}
