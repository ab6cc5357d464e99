import { mkdirSync } from 'node:fs'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { gunzipSync, gzipSync } from 'node:zlib'
import { Client } from 'pg'
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { hashFile, restoreBackup, writeBackup } from '@/lib/platform/backup'
import { inScope, type Scope } from '@/lib/platform/db/scope'
import { testDatabase } from '../../setup/database'
import { urlOfDatabase } from '../../setup/test-server-urls'

// What a backup must hold is stated by itself: every row and every file, the same after as before.

/** Characters that Postgres' text form must write in another way, or that other encodings break. */
const HARD_TEXT = 'tab\t newline\n return\r backslash \\ \\N \\. quote " \' null? Łódź 水槽 🐠 \u2028'
const businessIds = [newId(), newId()]
const made: string[] = []
let folder = ''
let ownerUrl = ''

beforeAll(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'backup-test-'))
  ownerUrl = (await testDatabase()).ownerUrl
  for (const businessId of businessIds) await fillBusiness(businessId)
  mkdirSync(path.join(folder, 'files', 'a', 'b'), { recursive: true })
  await writeFile(path.join(folder, 'files', 'a', 'b', 'photo'), Buffer.from([0, 1, 2, 255, 10, 13, 0]))
  await writeFile(path.join(folder, 'files', 'empty'), '')
  await writeFile(path.join(folder, 'files', 'large'), Buffer.alloc(3_000_000, 'tank'))
})

afterAll(async () => {
  for (const name of made)
    await asOwner(inject('testServer').ownerUrl, (client) =>
      client.query(`drop database if exists ${name} with (force)`),
    )
  await rm(folder, { recursive: true, force: true })
})

describe('a backup', () => {
  test('restores into an empty database: every table the same, guards as they were, files as they were', async () => {
    const file = path.join(folder, 'one.tar.gz')
    const written = await writeBackup({ ownerUrl, filesFolder: path.join(folder, 'files'), file, now: new Date() })
    expect(await hashFile(file)).toEqual({ bytes: written.bytes, sha256: written.sha256 })

    const copyUrl = await emptyDatabase()
    const guardsBefore = await guardsOf(copyUrl)
    const filesFolder = path.join(folder, 'files-of-copy')
    const restored = await restoreBackup({ ownerUrl: copyUrl, filesFolder, file })

    const before = await checksums(ownerUrl)
    expect(await checksums(copyUrl)).toEqual(before)
    const rows = before.reduce((sum, table) => sum + table.rows, 0)
    expect(restored).toMatchObject({ rows, files: 3 })
    expect(before.find((table) => table.name === 'public.tank')?.rows).toBe(2)
    expect(before.find((table) => table.name === 'public.invoice_line')?.rows).toBe(2)
    expect(await guardsOf(copyUrl)).toEqual(guardsBefore)
    for (const name of ['a/b/photo', 'empty', 'large']) {
      const was = await readFile(path.join(folder, 'files', name))
      expect((await readFile(path.join(filesFolder, name))).equals(was), name).toBe(true)
    }
    // No further check for FORCE: the owner is refused an append-only change and sees no row without the backup's role.
    const seen = await asOwner(copyUrl, (client) => client.query('select count(*)::int as n from tank'))
    expect(seen.rows[0]).toEqual({ n: 0 })
  })

  test('the same data gives the same archive', async () => {
    const now = new Date('2026-11-25T12:00:00Z')
    const take = (name: string) =>
      writeBackup({ ownerUrl, filesFolder: path.join(folder, 'files'), file: path.join(folder, name), now })
    const [first, second] = [await take('first'), await take('second')]
    const content = async (file: string) => withoutTimes(gunzipSync(await readFile(file)))
    expect((await content(first.file)).equals(await content(second.file))).toBe(true)
  })

  test('is refused by a database that holds data, and changes nothing there', async () => {
    const file = path.join(folder, 'one.tar.gz')
    const before = await checksums(ownerUrl)
    const again = restoreBackup({ ownerUrl, filesFolder: path.join(folder, 'nowhere'), file })
    await expect(again).rejects.toThrow(/already holds data/)
    expect(await checksums(ownerUrl)).toEqual(before)
  })

  test.each([
    ['cut off', (tar: Buffer) => gzipSync(tar).subarray(0, 900), /damaged/],
    ['without its end', (tar: Buffer) => gzipSync(tar.subarray(0, tar.indexOf('manifest.json'))), /damaged/],
    [
      'with one letter of one row changed',
      (tar: Buffer) => gzipSync(swap(tar, 'Reef by the stairs', 'Reef by the stairz')),
      /damaged/,
    ],
    ['with one letter of one file changed', (tar: Buffer) => gzipSync(swap(tar, 'tanktank', 'tanktanc')), /damaged/],
    ['of a newer version', (tar: Buffer) => gzipSync(swap(tar, '_first"', '_furst"')), /newer Tankround/],
  ])('%s is refused, and nothing is left behind', async (_name, spoil, words) => {
    const spoilt = path.join(folder, 'spoilt')
    await writeFile(spoilt, spoil(gunzipSync(await readFile(path.join(folder, 'one.tar.gz')))))
    const copyUrl = await emptyDatabase()
    const filesFolder = path.join(folder, 'spoilt-files')
    await expect(restoreBackup({ ownerUrl: copyUrl, filesFolder, file: spoilt })).rejects.toThrow(words)
    expect((await checksums(copyUrl)).every((table) => table.rows === 0)).toBe(true)
    await expect(readFile(path.join(filesFolder, 'large'))).rejects.toThrow()
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
      madeAt: new Date(),
    }
    await tx.finding.create({ data: { ...finding, id: findingId, asFound: 'failed', remedy: HARD_TEXT } })
    await tx.finding.create({ data: { ...finding, id: newId(), asFound: 'ok', correctsId: findingId } })
    await tx.importBatch.create({
      data: {
        businessId,
        id: batchId,
        fileNames: ['a,b', '{"c"}', ''],
        options: { deep: [HARD_TEXT, null, 1e21] },
        withdrawnAt: new Date(),
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
      data: { state: 'issued', number: '1', issuedOn: day, issuedAt: new Date() },
    })
    await tx.command.create({
      data: {
        businessId,
        id: newId(),
        deviceId: 'desk',
        deviceSeq: 0,
        madeAt: new Date(),
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
      data: { withdrawnAt: new Date() },
    })
  })
}

async function emptyDatabase(): Promise<string> {
  const { ownerUrl: server, template } = inject('testServer')
  const name = `test_${Math.floor(Date.now() / 1000)}_copy_${newId().replaceAll('-', '').slice(-12)}`
  await asOwner(server, (client) => client.query(`create database ${name} template ${template}`))
  made.push(name)
  return urlOfDatabase(server, name)
}

/** Rows and a checksum of every table, made by Postgres and not by the code under test. */
async function checksums(url: string): Promise<{ name: string; rows: number; sum: string | null }[]> {
  return asOwner(url, async (client) => {
    const { rows: tables } = await client.query<{ name: string; forced: boolean }>(
      `select n.nspname || '.' || quote_ident(c.relname) as name, c.relforcerowsecurity as forced
         from pg_class c join pg_namespace n on n.oid = c.relnamespace
        where c.relkind = 'r' and n.nspname in ('public', 'identity') and c.relname not in ('_prisma_migrations', 'rate_limit')
        order by 1`,
    )
    await client.query('begin')
    const sums = []
    for (const { name, forced } of tables) {
      if (forced) await client.query(`alter table ${name} no force row level security`)
      const { rows } = await client.query(
        `select count(*)::int as rows, md5(string_agg(t::text, '|' order by t::text)) as sum from ${name} t`,
      )
      sums.push({ name, ...rows[0] })
    }
    await client.query('rollback')
    return sums
  })
}

/** Constraints, triggers and row policies as the database describes them. */
async function guardsOf(url: string): Promise<unknown[]> {
  return asOwner(url, async (client) => {
    const { rows } = await client.query(
      `select conrelid::regclass::text as on, conname::text as name, pg_get_constraintdef(oid) || convalidated as is from pg_constraint
        where connamespace in ('public'::regnamespace, 'identity'::regnamespace)
       union all select tgrelid::regclass::text, tgname::text, pg_get_triggerdef(oid) || tgenabled::text from pg_trigger where not tgisinternal
       union all select oid::regclass::text, relname::text, relrowsecurity::text || relforcerowsecurity::text from pg_class
        where relkind = 'r' and relnamespace in ('public'::regnamespace, 'identity'::regnamespace)
       order by 1, 2, 3`,
    )
    return rows
  })
}

async function asOwner<T>(url: string, work: (client: Client) => Promise<T>): Promise<T> {
  const client = new Client({ connectionString: url })
  await client.connect()
  try {
    return await work(client)
  } finally {
    await client.end()
  }
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
