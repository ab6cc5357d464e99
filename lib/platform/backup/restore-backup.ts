import { createHash } from 'node:crypto'
import { createReadStream, createWriteStream } from 'node:fs'
import { mkdir, readdir, rename, rm } from 'node:fs/promises'
import path from 'node:path'
import type { Writable } from 'node:stream'
import { text } from 'node:stream/consumers'
import { pipeline } from 'node:stream/promises'
import { createGunzip } from 'node:zlib'
import { Client } from 'pg'
import { from as copyFrom } from 'pg-copy-streams'
import { type Extract, extract } from 'tar-stream'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { takeDownGuards } from './constraints'
import { ABOUT, type About, aboutSchema, FILES, MANIFEST, type Manifest, manifestSchema, ROWS } from './format'
import { type BackupTable, listMigrations, listTables, PLAIN_SETTINGS, sqlColumns, sqlName } from './tables'
import { hashing, readTable } from './write-backup'

export type Restored = { madeAt: string; rows: number; files: number }

/**
 * Reads an archive into an empty, migrated database and an empty folder of files: in one transaction, all of it or
 * nothing. Every table is read back and held against the archive's counts and hashes before it is kept.
 * Errors: OperatorError in words where something is there already, or the archive is newer, cut off or damaged.
 */
export async function restoreBackup({
  ownerUrl,
  filesFolder,
  file,
}: {
  ownerUrl: string
  filesFolder: string
  file: string
}): Promise<Restored> {
  if ((await readdir(filesFolder).catch(() => [])).length > 0)
    throw new OperatorError(`${filesFolder} already holds files. Restore into an empty place, so that nothing is lost.`)
  const arriving = `${filesFolder}.arriving`
  await rm(arriving, { recursive: true, force: true })
  const client = new Client({ connectionString: ownerUrl })
  await client.connect()
  try {
    await client.query(`begin; ${PLAIN_SETTINGS}`)
    const tables = await listTables(client)
    const putBack = await takeDownGuards(client, tables)
    await refuseUnlessEmpty(client, tables)
    const { about, manifest, files } = await readArchive(file, new Arrival(client, tables, arriving))
    compareFiles(manifest, files)
    await compareTables(client, about, manifest)
    await putBack()
    await client.query('commit')
    await rm(filesFolder, { recursive: true, force: true })
    if (files.length > 0) await rename(arriving, filesFolder)
    const rows = manifest.tables.reduce((sum, table) => sum + table.rows, 0)
    return { madeAt: about.madeAt, rows, files: files.length }
  } catch (error) {
    await rm(arriving, { recursive: true, force: true })
    throw error
  } finally {
    await client.end() // without a commit before it, this rolls everything back
  }
}

async function refuseUnlessEmpty(client: Client, tables: readonly BackupTable[]): Promise<void> {
  for (const table of tables) {
    const { rowCount } = await client.query(`select 1 from ${sqlName(client, table)} limit 1`)
    if (rowCount)
      throw new OperatorError(
        'This database already holds data. A backup is restored into an empty one, so that nothing is lost: set TANKROUND_DATA to a new folder, or DATABASE_URL to a new database.',
      )
  }
}

/** One file inside an archive, as a stream with its name. */
type Entry = Extract extends AsyncIterable<infer One> ? One : never

type Read = { about: About; manifest: Manifest; files: Manifest['files'] }

async function readArchive(file: string, arrival: Arrival): Promise<Read> {
  const entries = extract()
  const source = pipeline(createReadStream(file), createGunzip(), entries)
  source.catch((error) => entries.destroy(error))
  try {
    for await (const entry of entries) await arrival.take(entry)
    await source
  } catch (error) {
    if (error instanceof OperatorError) throw error
    if (isUnreadable(error)) throw damaged('it cannot be read to its end')
    throw error
  }
  return arrival.finish()
}

/** Zlib's and tar's own faults; those of Postgres and of the disk are something else. */
function isUnreadable(error: unknown): boolean {
  if (!(error instanceof Error)) return false
  const code = 'code' in error ? String(error.code) : ''
  return code.startsWith('Z_') || /tar header|tar checksum|unexpected end of data/i.test(error.message)
}

function damaged(how: string): OperatorError {
  return new OperatorError(`This backup is damaged: ${how}. Nothing was changed; take another one.`)
}

/** Takes the entries of an archive in their order and puts each where it belongs. */
class Arrival {
  private about: About | undefined
  private manifest: Manifest | undefined
  private files: Manifest['files'] = []
  private current: { name: string; into: Writable } | undefined

  constructor(
    private readonly client: Client,
    private readonly tables: readonly BackupTable[],
    private readonly filesFolder: string,
  ) {}

  async take(entry: Entry): Promise<void> {
    const { name } = entry.header
    if (name === ABOUT) this.about = await this.readAbout(entry)
    else if (!this.about) throw damaged('it does not begin as a backup of Tankround does')
    else if (name.startsWith(ROWS)) await this.takeRows(name.slice(ROWS.length).split('/')[0] ?? '', entry)
    else if (name.startsWith(FILES)) await this.takeFile(name.slice(FILES.length), entry)
    else if (name === MANIFEST) this.manifest = parse(manifestSchema, await text(entry))
    else throw damaged(`it holds something unknown, "${name}"`)
  }

  async finish(): Promise<Read> {
    await this.endTable()
    const { about, manifest, files } = this
    if (!about || !manifest) throw damaged('its end is missing')
    return { about, manifest, files }
  }

  private async readAbout(entry: Entry): Promise<About> {
    const about = parse(aboutSchema, await text(entry))
    const known = await listMigrations(this.client)
    const newer = about.migrations.find((name) => !known.includes(name))
    if (newer)
      throw new OperatorError(
        `This backup was made by a newer Tankround: it has the change "${newer}", which this version does not know. Update first.`,
      )
    return about
  }

  private async takeRows(name: string, entry: Entry): Promise<void> {
    if (this.current?.name !== name) {
      await this.endTable()
      const table = this.about?.tables.find((known) => `${known.schema}.${known.name}` === name)
      if (!table || !this.tables.some((known) => known.schema === table.schema && known.name === table.name))
        throw damaged(`it holds rows of an unknown table, "${name}"`)
      const columns = sqlColumns(this.client, table.columns)
      this.current = {
        name,
        into: this.client.query(copyFrom(`copy ${sqlName(this.client, table)} (${columns}) from stdin`)),
      }
    }
    await pipeline(entry, this.current.into, { end: false })
  }

  private async endTable(): Promise<void> {
    const into = this.current?.into
    this.current = undefined
    if (!into) return
    await new Promise<void>((resolve, reject) => {
      into.once('error', reject)
      into.end(resolve)
    })
  }

  private async takeFile(name: string, entry: Entry): Promise<void> {
    await this.endTable()
    const target = path.resolve(this.filesFolder, name)
    if (!target.startsWith(path.resolve(this.filesFolder) + path.sep)) throw damaged(`the file "${name}" lies outside`)
    await mkdir(path.dirname(target), { recursive: true })
    const hash = createHash('sha256')
    let bytes = 0
    const measure = hashing(hash, (length) => {
      bytes += length
    })
    await pipeline(entry, measure, createWriteStream(target, { flags: 'wx', mode: 0o600 }))
    this.files.push({ path: name, bytes, sha256: hash.digest('hex') })
  }
}

function compareFiles(manifest: Manifest, files: Manifest['files']): void {
  const told = new Map(manifest.files.map((file) => [file.path, file]))
  if (told.size !== files.length) throw damaged(`it should hold ${told.size} files and holds ${files.length}`)
  for (const file of files)
    if (told.get(file.path)?.sha256 !== file.sha256) throw damaged(`the file "${file.path}" has changed`)
}

/** Reads every table back out of the database, as it is now, and holds it against what the archive says. */
async function compareTables(client: Client, about: About, manifest: Manifest): Promise<void> {
  const told = new Map(manifest.tables.map((table) => [table.table, table]))
  for (const table of about.tables) {
    const name = `${table.schema}.${table.name}`
    const read = await readTable(client, table)
    const wanted = told.get(name)
    if (!wanted || wanted.rows !== read.rows || wanted.sha256 !== read.sha256)
      throw damaged(`the table ${name} should have ${wanted?.rows ?? 0} rows and has ${read.rows}, or they differ`)
  }
}

function parse<T>(schema: { parse: (value: unknown) => T }, content: string): T {
  try {
    return schema.parse(JSON.parse(content))
  } catch {
    throw damaged('its description cannot be read')
  }
}
