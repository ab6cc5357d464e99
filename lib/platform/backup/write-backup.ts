import { createHash, type Hash } from 'node:crypto'
import { createReadStream, createWriteStream } from 'node:fs'
import { mkdir, open, readdir, rename, rm, stat } from 'node:fs/promises'
import path from 'node:path'
import { Readable, Transform } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { createGzip } from 'node:zlib'
import { Client } from 'pg'
import { to as copyTo } from 'pg-copy-streams'
import { type Pack, pack } from 'tar-stream'
import { BACKUP_ROLE, ensureBackupRole } from './backup-role'
import { ABOUT, type About, FILES, FORMAT, MANIFEST, type Manifest, PIECE_BYTES, ROWS } from './format'
import { type BackupTable, listMigrations, listTables, PLAIN_SETTINGS, sqlColumns, sqlName } from './tables'

export type BackupWritten = { file: string; bytes: number; sha256: string; rows: number; files: number }

/**
 * Writes the whole database, as it is at one moment, and the folder of files into one archive (tar, gzip). People may
 * go on working meanwhile. The archive gets its name only when it is complete. Errors: what Postgres or the disk say.
 */
export async function writeBackup({
  ownerUrl,
  filesFolder,
  file,
  now,
}: {
  ownerUrl: string
  filesFolder: string
  file: string
  now: Date
}): Promise<BackupWritten> {
  await mkdir(path.dirname(file), { recursive: true })
  const half = `${file}.part`
  const archive = pack()
  const hash = createHash('sha256')
  let bytes = 0
  const measure = hashing(hash, (length) => {
    bytes += length
  })
  const written = pipeline(archive, createGzip(), measure, createWriteStream(half, { mode: 0o600 }))
  const client = new Client({ connectionString: ownerUrl })
  try {
    await client.connect()
    const [manifest] = await Promise.all([fill(archive, client, filesFolder, now), written])
    await syncToDisk(half)
    await rename(half, file)
    const rows = manifest.tables.reduce((sum, table) => sum + table.rows, 0)
    return { file, bytes, sha256: hash.digest('hex'), rows, files: manifest.files.length }
  } catch (error) {
    archive.destroy()
    await written.catch(() => undefined)
    await rm(half, { force: true })
    throw error
  } finally {
    await client.end()
  }
}

async function fill(archive: Pack, client: Client, filesFolder: string, now: Date): Promise<Manifest> {
  const manifest: Manifest = { tables: [], files: [] }
  await ensureBackupRole(client, await listTables(client))
  await client.query(`begin isolation level repeatable read read only; ${PLAIN_SETTINGS}`)
  const tables = await listTables(client)
  const about: About = {
    program: 'tankround',
    format: FORMAT,
    madeAt: now.toISOString(),
    migrations: await listMigrations(client),
    tables,
  }
  await addEntry(archive, ABOUT, json(about))
  await client.query(`set local role ${BACKUP_ROLE}`)
  for (const table of tables) manifest.tables.push(await addTable(archive, client, table))
  await client.query('commit')
  for await (const name of walk(filesFolder, '')) {
    const entry = await addFile(archive, filesFolder, name)
    if (entry) manifest.files.push(entry)
  }
  await addEntry(archive, MANIFEST, json(manifest))
  archive.finalize()
  return manifest
}

/** Passes everything on and hashes it in passing. */
export function hashing(hash: Hash, count?: (length: number) => void): Transform {
  return new Transform({
    transform(chunk: Buffer, _encoding, next) {
      hash.update(chunk)
      count?.(chunk.length)
      next(null, chunk)
    },
  })
}

async function addTable(archive: Pack, client: Client, table: BackupTable): Promise<Manifest['tables'][number]> {
  const name = `${table.schema}.${table.name}`
  let piece: Buffer[] = []
  let size = 0
  let pieces = 0
  const flush = async () => {
    if (size === 0) return
    pieces += 1
    await addEntry(archive, `${ROWS}${name}/${String(pieces).padStart(6, '0')}`, Buffer.concat(piece))
    piece = []
    size = 0
  }
  const read = await readTable(client, table, async (chunk) => {
    piece.push(chunk)
    size += chunk.length
    if (size >= PIECE_BYTES) await flush()
  })
  await flush()
  return { table: name, ...read }
}

/** Reads a table in Postgres' own text form, row by row in the order of its key; counts and hashes what comes. */
export async function readTable(
  client: Client,
  table: BackupTable,
  take?: (chunk: Buffer) => Promise<void>,
): Promise<{ rows: number; sha256: string }> {
  const hash = createHash('sha256')
  let rows = 0
  const order = sqlColumns(client, table.order.length > 0 ? table.order : table.columns)
  const select = `select ${sqlColumns(client, table.columns)} from ${sqlName(client, table)} order by ${order}`
  const stream: AsyncIterable<Buffer> = client.query(copyTo(`copy (${select}) to stdout`))
  for await (const chunk of stream) {
    hash.update(chunk)
    // A line break inside a value is written as \n, so each real one ends a row.
    for (const byte of chunk) if (byte === 10) rows += 1
    await take?.(chunk)
  }
  return { rows, sha256: hash.digest('hex') }
}

async function addFile(archive: Pack, folder: string, name: string): Promise<Manifest['files'][number] | null> {
  const file = await open(path.join(folder, name), 'r').catch(() => null)
  if (!file) return null // removed since we looked
  const { size } = await file.stat()
  const hash = createHash('sha256')
  try {
    await new Promise<void>((resolve, reject) => {
      const into = archive.entry({ name: `${FILES}${name}`, size }, (error) => (error ? reject(error) : resolve()))
      // Only as much as was there when we looked: a file that grows meanwhile must not break the archive.
      const source = size === 0 ? Readable.from([]) : file.createReadStream({ end: size - 1, autoClose: false })
      pipeline(source, hashing(hash), into).catch(reject)
    })
  } finally {
    await file.close()
  }
  return { path: name, bytes: size, sha256: hash.digest('hex') }
}

async function* walk(folder: string, below: string): AsyncGenerator<string> {
  const entries = await readdir(path.join(folder, below), { withFileTypes: true }).catch(() => [])
  for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
    const name = path.posix.join(below, entry.name)
    if (entry.isDirectory()) yield* walk(folder, name)
    else if (entry.isFile()) yield name
  }
}

function addEntry(archive: Pack, name: string, content: Buffer): Promise<void> {
  return new Promise((resolve, reject) => {
    archive.entry({ name }, content, (error) => (error ? reject(error) : resolve()))
  })
}

function json(value: unknown): Buffer {
  return Buffer.from(`${JSON.stringify(value, null, 1)}\n`)
}

async function syncToDisk(file: string): Promise<void> {
  const handle = await open(file, 'r+')
  await handle.sync()
  await handle.close()
}

/** Size and hash of an archive on disk, read again: what a careful person compares after copying it elsewhere. */
export async function hashFile(file: string): Promise<{ bytes: number; sha256: string }> {
  const hash = createHash('sha256')
  for await (const chunk of createReadStream(file)) hash.update(chunk)
  return { bytes: (await stat(file)).size, sha256: hash.digest('hex') }
}
