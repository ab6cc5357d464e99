import { once } from 'node:events'
import { rm } from 'node:fs/promises'
import path from 'node:path'
import type { Writable } from 'node:stream'
import { finished } from 'node:stream/promises'
import { type Client, DatabaseError } from 'pg'
import { from as copyFrom } from 'pg-copy-streams'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { connectAsOwner } from '@/lib/platform/db/connect-as-owner'
import { applyMigration, knownMigrations, MIGRATION_LOCK, type Migration } from '@/lib/platform/db/migrations'
import { DamagedFile, type FileStore, folderStore } from '@/lib/platform/files/file-store'
import { moveFilesInto } from '@/lib/platform/files/move-files'
import { filesMissing } from './check-backup'
import { takeDownGuards } from './constraints'
import { clearEmptyDatabase } from './empty-database'
import { type About, damaged, folderBeside, type Manifest, placeOf } from './format'
import { readArchive } from './read-archive'
import { readTable } from './read-table'
import { type BackupTable, FORMERLY_KEPT, listTables, PLAIN_SETTINGS, sqlColumns, sqlName, tableName } from './tables'

export type RestoreRequest = {
  ownerUrl: string
  filesFolder: string
  file: string
  /** Restores also where files of the archive are missing beside it. */
  withoutMissingFiles?: boolean
  /** The last migration to apply; all by default. For trying the later ones. */
  upTo?: string
  /** Told what is being done, a line at a time. */
  say?: (line: string) => void
}

export type Restored = { madeAt: string; rows: number; files: number; missingFiles: number }

/** Where files wait, inside the folder of files, until the database is ready to be kept. */
const ARRIVING = '.arriving'

/**
 * Reads an archive into an empty database: makes the schema as the archive had it, loads and compares every table, and brings
 * all to this version, in one transaction. Until its last moment the database is as it was, also when the power goes; files
 * come to their place just before it, where nothing refers to them yet. Whatever fails takes everything back.
 * Errors: OperatorError in words where something is there already, or the archive is newer, cut off, damaged or without its files.
 */
export async function restoreBackup(request: RestoreRequest): Promise<Restored> {
  const { ownerUrl, filesFolder, say = () => undefined } = request
  const arriving = path.join(filesFolder, ARRIVING)
  const client = await connectAsOwner(ownerUrl)
  let placed: string[] = []
  try {
    const lock = await client.query('select pg_try_advisory_lock($1) as got', [MIGRATION_LOCK])
    if (!lock.rows[0].got)
      throw new OperatorError('This database is being migrated, restored or backed up just now. Try again afterwards.')
    await rm(arriving, { recursive: true, force: true })
    await client.query('begin')
    const { about, manifest, missingFiles } = await load(client, folderStore(arriving), request)
    say('Bringing it to this version')
    for (const migration of migrationsAfter(about, request.upTo)) await applyMigration(client, migration)
    say('Putting the files in place')
    placed = await moveFilesInto(arriving, filesFolder)
    await rm(arriving, { recursive: true, force: true })
    say('Keeping it')
    placed = [] // from here on it may be kept even where we are not told so, and a file too many harms nobody
    await client.query('commit')
    const rows = manifest.tables.reduce((sum, table) => sum + table.rows, 0)
    return { madeAt: about.madeAt, rows, files: manifest.files.length - missingFiles, missingFiles }
  } catch (error) {
    await rm(arriving, { recursive: true, force: true })
    for (const file of placed) await rm(file, { force: true })
    throw error instanceof DatabaseError ? refusedByDatabase(error) : error
  } finally {
    await client.end() // without a commit before it, this rolls everything back
  }
}

/** Postgres' own words, with what to do. */
function refusedByDatabase({ message, table }: DatabaseError): OperatorError {
  return new OperatorError(
    `The database refused this backup${table ? ` at its table ${table}` : ''}: ${message}. Nothing was changed. Look at the backup with --check; if that finds nothing, try an earlier one or the version that made it.`,
  )
}

type Loaded = { about: About; manifest: Manifest; missingFiles: number }

async function load(client: Client, arriving: FileStore, request: RestoreRequest): Promise<Loaded> {
  const { file, say = () => undefined } = request
  let putBack = async () => {}
  let tables: BackupTable[] = []
  let current: TableLoad | undefined
  for await (const part of readArchive(file)) {
    if (part.kind !== 'rows' || part.table !== current?.table) {
      await current?.end()
      current = undefined
    }
    switch (part.kind) {
      case 'about': {
        const migrations = migrationsOf(part.about)
        say('Making the tables')
        await clearEmptyDatabase(client)
        for (const migration of migrations) await applyMigration(client, migration)
        tables = tablesOf(part.about, await listTables(client, { formerly: true }))
        await client.query(PLAIN_SETTINGS)
        putBack = await takeDownGuards(client, tables)
        break
      }
      case 'rows':
        if (!current) {
          say(`Reading ${part.table}`)
          current = new TableLoad(client, tables, part.table)
        }
        await current.write(part.chunk)
        break
      case 'file':
        try {
          await arriving.keep(part.place, part.content)
        } catch (error) {
          throw error instanceof DamagedFile ? damaged(error.message) : error
        }
        break
      case 'end': {
        say('Comparing every table')
        await compareTables(client, tables, part.manifest)
        for (const name of FORMERLY_KEPT) await client.query(`delete from ${name}`)
        await putBack()
        const { about, manifest } = part
        if (about.files === 'within') return { about, manifest, missingFiles: 0 }
        say('Fetching the files')
        return { about, manifest, missingFiles: await fetchFiles(arriving, manifest, request) }
      }
    }
  }
  throw new Error('the reader ended without an end or an error')
}

function migrationsOf(about: About): Migration[] {
  const known = knownMigrations()
  const newer = about.migrations.find((name) => !known.some((migration) => migration.name === name))
  if (newer)
    throw new OperatorError(
      `This backup was made by a newer Tankround: it has the change "${newer}", which this version does not know. Update first.`,
    )
  return known.filter(({ name }) => about.migrations.includes(name))
}

function migrationsAfter(about: About, upTo: string | undefined): Migration[] {
  return knownMigrations().filter(
    ({ name }) => !about.migrations.includes(name) && (upTo === undefined || name <= upTo),
  )
}

/** The archive's tables as this database has them: the same columns, whatever their order. */
function tablesOf(about: About, present: readonly BackupTable[]): BackupTable[] {
  return about.tables.map((told) => {
    const table = present.find((known) => tableName(known) === tableName(told))
    if (!table || [...table.columns].sort().join() !== [...told.columns].sort().join())
      throw damaged(`the table ${tableName(told)} is not as this version of the data had it`)
    // The first layout sorted rows in the language of its server.
    return { ...table, columns: told.columns, order: told.order, texts: about.format === 1 ? [] : table.texts }
  })
}

/** One table on its way into the database. */
class TableLoad {
  private readonly into: Writable
  private readonly done: Promise<void>

  constructor(
    client: Client,
    tables: readonly BackupTable[],
    readonly table: string,
  ) {
    const known = tables.find((one) => tableName(one) === table)
    if (!known) throw damaged(`it holds rows of an unknown table, "${table}"`)
    this.into = client.query(
      copyFrom(`copy ${sqlName(client, known)} (${sqlColumns(client, known.columns)}) from stdin`),
    )
    this.done = finished(this.into)
    this.done.catch(() => undefined) // it is awaited below
  }

  async write(chunk: Buffer): Promise<void> {
    if (!this.into.write(chunk)) await Promise.race([once(this.into, 'drain'), this.done])
  }

  /** Resolves when Postgres has taken all rows. */
  async end(): Promise<void> {
    this.into.end()
    await this.done
  }
}

/** Reads every table back out of the database, as it is now, and holds it against what the archive says. */
async function compareTables(client: Client, tables: readonly BackupTable[], manifest: Manifest): Promise<void> {
  const told = new Map(manifest.tables.map((table) => [table.table, table]))
  for (const table of tables) {
    const name = tableName(table)
    const read = await readTable(client, table)
    const wanted = told.get(name)
    if (!wanted || wanted.rows !== read.rows || wanted.sha256 !== read.sha256)
      throw damaged(`the table ${name} should have ${wanted?.rows ?? 0} rows and has ${read.rows}, or they differ`)
  }
}

async function fetchFiles(
  arriving: FileStore,
  manifest: Manifest,
  { file, withoutMissingFiles = false }: RestoreRequest,
): Promise<number> {
  const beside = folderStore(folderBeside(file))
  const missing = []
  for (const one of manifest.files) {
    const place = placeOf(one.path)
    if (!place) throw damaged(`it names a file with a strange name, "${one.path}"`)
    const found = await beside.read(place)
    try {
      if (found) await arriving.keep(place, found.content)
      else missing.push(place)
    } catch (error) {
      if (!(error instanceof DamagedFile)) throw error
      missing.push(place)
    }
  }
  if (missing.length > 0 && !withoutMissingFiles) {
    const { message } = filesMissing(file, missing, manifest)
    throw new OperatorError(
      `${message} Or add --without-missing-files to restore everything else. Nothing was changed.`,
    )
  }
  return missing.length
}
