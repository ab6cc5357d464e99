import { createHash, randomInt } from 'node:crypto'
import { createWriteStream } from 'node:fs'
import { link, mkdir, open, readdir, rm, stat } from 'node:fs/promises'
import path from 'node:path'
import { Transform } from 'node:stream'
import { buffer } from 'node:stream/consumers'
import { pipeline } from 'node:stream/promises'
import { createGzip } from 'node:zlib'
import type { Client } from 'pg'
import { type Pack, pack } from 'tar-stream'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { connectAsOwner } from '@/lib/platform/db/connect-as-owner'
import { appliedMigrations, MIGRATION_LOCK } from '@/lib/platform/db/migrations'
import { type FileStore, folderStore, syncFolder } from '@/lib/platform/files/file-store'
import { BACKUP_ROLE, ensureBackupRole } from './backup-role'
import { checkBackup } from './check-backup'
import { copyFilesBeside } from './copy-files'
import {
  ABOUT,
  type About,
  FILES,
  FORMAT,
  folderBeside,
  MANIFEST,
  type Manifest,
  PIECE_BYTES,
  pathOf,
  ROWS,
} from './format'
import { readTable } from './read-table'
import { type BackupTable, listTables, PLAIN_SETTINGS, tableName } from './tables'

export type BackupRequest = {
  ownerUrl: string
  files: FileStore
  /** Where the archive goes. With `orNext` a name that is taken gets a number; without, a taken one is refused. */
  file: string
  orNext?: boolean
  /** Files within the archive instead of beside it, so that one file is all. */
  whole?: boolean
  now: Date
}

export type BackupWritten = {
  file: string
  bytes: number
  sha256: string
  rows: number
  files: number
  /** Of those, how many were copied this time. */
  copied: number
  /** Files of this installation whose content has changed on its disk; they are not in the backup. */
  damagedFiles: string[]
}

/**
 * Writes the whole database, as it is at one moment, into an archive (tar, gzip), and each file once into the folder beside
 * it (or with `whole` within). People may go on working meanwhile. Everything is read back, and only then gets its name.
 * Errors: OperatorError where the name is taken or what was written cannot be read back; what Postgres or the disk say.
 */
export async function writeBackup(request: BackupRequest): Promise<BackupWritten> {
  const { ownerUrl, file, orNext = false, now } = request
  await mkdir(path.dirname(file), { recursive: true, mode: 0o700 })
  await removeOldHalves(path.dirname(file), now)
  if (!orNext && (await exists(file))) throw taken(file)
  const client = await connectAsOwner(ownerUrl)
  const half = `${file}.${randomInt(1e9)}.part`
  const archive = pack()
  const hash = createHash('sha256')
  let bytes = 0
  const measure = new Transform({
    transform(chunk: Buffer, _encoding, next) {
      hash.update(chunk)
      bytes += chunk.length
      next(null, chunk)
    },
  })
  const written = pipeline(archive, createGzip(), measure, createWriteStream(half, { mode: 0o600 }))
  try {
    const [{ manifest, ...files }] = await Promise.all([fill(archive, client, request), written])
    await syncToDisk(half)
    await checkBackup(half)
    const name = await giveName(half, file, orNext)
    const rows = manifest.tables.reduce((sum, table) => sum + table.rows, 0)
    return { file: name, bytes, sha256: hash.digest('hex'), rows, files: manifest.files.length, ...files }
  } catch (error) {
    archive.destroy()
    await written.catch(() => undefined)
    await rm(half, { force: true })
    throw error
  } finally {
    await client.end()
  }
}

type Filled = { manifest: Manifest; copied: number; damagedFiles: string[] }

async function fill(
  archive: Pack,
  client: Client,
  { files, file, whole = false, now }: BackupRequest,
): Promise<Filled> {
  const manifest: Manifest = { tables: [], files: [] }
  await client.query('select pg_advisory_lock_shared($1)', [MIGRATION_LOCK]) // no migration in the middle
  await ensureBackupRole(client, await listTables(client))
  await client.query(`begin isolation level repeatable read read only; ${PLAIN_SETTINGS}`)
  const tables = await listTables(client)
  const migrations = [...(await appliedMigrations(client)).keys()]
  if (migrations.length === 0)
    throw new OperatorError('There is nothing in this database yet, so there is nothing to back up.')
  const about: About = {
    program: 'tankround',
    format: FORMAT,
    madeAt: now.toISOString(),
    migrations,
    files: whole ? 'within' : 'beside',
    tables: tables.map(({ schema, name, columns, order }) => ({ schema, name, columns, order })),
  }
  await addEntry(archive, ABOUT, json(about))
  await client.query(`set local role ${BACKUP_ROLE}`)
  for (const table of tables) manifest.tables.push(await addTable(archive, client, table))
  await client.query('commit')
  // A file is kept before its row is, and never changed: what the rows of that moment name is there now.
  const { kept, ...outcome } = whole
    ? await addFiles(archive, files)
    : await copyFilesBeside(files, folderStore(folderBeside(file)), now)
  manifest.files = kept.map((one) => ({ path: pathOf(one), bytes: one.sizeBytes, sha256: one.sha256 }))
  await addEntry(archive, MANIFEST, json(manifest))
  archive.finalize()
  return { manifest, ...outcome }
}

async function addTable(archive: Pack, client: Client, table: BackupTable): Promise<Manifest['tables'][number]> {
  const name = tableName(table)
  const waiting: Buffer[] = []
  let size = 0
  let pieces = 0
  /** Cuts at exact sizes, so that the same rows always make the same archive. */
  const flush = async (bytes: number) => {
    const all = Buffer.concat(waiting.splice(0))
    pieces += 1
    await addEntry(archive, `${ROWS}${name}/${String(pieces).padStart(6, '0')}`, all.subarray(0, bytes))
    waiting.push(all.subarray(bytes))
    size = all.length - bytes
  }
  const read = await readTable(client, table, async (chunk) => {
    waiting.push(chunk)
    size += chunk.length
    while (size >= PIECE_BYTES) await flush(PIECE_BYTES)
  })
  if (size > 0) await flush(size)
  return { table: name, ...read }
}

async function addFiles(archive: Pack, files: FileStore): ReturnType<typeof copyFilesBeside> {
  const kept = []
  const damagedFiles: string[] = []
  for await (const one of files.list()) {
    const file = await files.read(one)
    if (!file) continue
    // In memory: photos are small, and one that turns out to be damaged must not be in the archive.
    const bytes = await buffer(file.content)
    if (createHash('sha256').update(bytes).digest('hex') !== one.sha256) damagedFiles.push(pathOf(one))
    else {
      await addEntry(archive, `${FILES}${pathOf(one)}`, bytes)
      kept.push({ ...one, sizeBytes: bytes.length })
    }
  }
  return { kept, copied: kept.length, damagedFiles }
}

function addEntry(archive: Pack, name: string, content: Buffer): Promise<void> {
  return new Promise((resolve, reject) => {
    archive.entry({ name }, content, (error) => (error ? reject(error) : resolve()))
  })
}

function json(value: unknown): Buffer {
  return Buffer.from(`${JSON.stringify(value, null, 1)}\n`)
}

/** A half older than this was left by a backup that was cut off. */
const OLD_HALF_MS = 24 * 3_600_000

async function removeOldHalves(folder: string, now: Date): Promise<void> {
  for (const name of await readdir(folder)) {
    if (!/^[^/]+\.tar\.gz\.\d+\.part$/.test(name)) continue
    const half = path.join(folder, name)
    const found = await stat(half).catch(() => null)
    if (found?.isFile() && now.getTime() - found.mtimeMs > OLD_HALF_MS) await rm(half, { force: true })
  }
}

/** Gives the finished archive the first free name, in one step: a name never stands for half an archive, and two backups never share one. */
async function giveName(half: string, wanted: string, orNext: boolean): Promise<string> {
  for (let number = 1; ; number += 1) {
    const name = number === 1 ? wanted : wanted.replace(/(\.tar\.gz)?$/, `-${number}$1`)
    try {
      await link(half, name)
    } catch (error) {
      if (!(error instanceof Error && 'code' in error && error.code === 'EEXIST')) throw error
      if (!orNext) throw taken(wanted)
      continue
    }
    await rm(half)
    await syncFolder(path.dirname(name))
    return name
  }
}

function taken(file: string): OperatorError {
  return new OperatorError(`There is a file ${file} already. It was left as it is; give the backup another name.`)
}

async function exists(file: string): Promise<boolean> {
  return (await stat(file).catch(() => null)) !== null
}

async function syncToDisk(file: string): Promise<void> {
  const handle = await open(file, 'r+')
  await handle.sync()
  await handle.close()
}
