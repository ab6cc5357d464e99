import { createHash, type Hash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { text } from 'node:stream/consumers'
import { pipeline } from 'node:stream/promises'
import { createGunzip } from 'node:zlib'
import { extract } from 'tar-stream'
import * as z from 'zod'
import { OperatorError } from '@/lib/platform/config/operator-error'
import type { FilePlace } from '@/lib/platform/files/file-store'
import {
  ABOUT,
  type About,
  aboutSchema,
  damaged,
  FILES,
  FORMAT,
  MANIFEST,
  type Manifest,
  manifestSchema,
  placeOf,
  ROWS,
} from './format'
import { tableName } from './tables'

/** What an archive gives, in its order: what it is, rows table by table, files, and last what it should have held. */
export type ArchivePart =
  | { kind: 'about'; about: About }
  | { kind: 'rows'; table: string; chunk: Buffer }
  | { kind: 'file'; place: FilePlace; content: AsyncIterable<Buffer> }
  | { kind: 'end'; about: About; manifest: Manifest }

/**
 * Reads an archive from beginning to end, a piece at a time. The last part comes only when all was read and structure, counts
 * and hashes of every table and file within are what the archive itself says. A `file` must be read before the next part is asked for.
 * Errors: OperatorError in words where it is no backup, of another version, cut off or changed.
 */
export async function* readArchive(file: string): AsyncGenerator<ArchivePart> {
  const entries = extract()
  const source = pipeline(createReadStream(file), createGunzip(), entries)
  source.catch((error) => entries.destroy(error))
  const seen = new Seen()
  let about: About | undefined
  let manifest: Manifest | undefined
  try {
    for await (const entry of entries) {
      const { name } = entry.header
      const content = entry as AsyncIterable<Buffer> // as tar-stream gives it; its types do not say of what
      if (name === ABOUT) {
        about = readAbout(await text(entry))
        yield { kind: 'about', about }
      } else if (!about) throw damaged('it does not begin as a backup of Tankround does')
      else if (manifest) throw damaged(`something follows after its end, "${name}"`)
      else if (name.startsWith(ROWS)) {
        const table = name.slice(ROWS.length).split('/')[0] ?? ''
        const columns = about.tables.find((known) => tableName(known) === table)?.columns
        if (!columns) throw damaged(`it holds rows of an unknown table, "${table}"`)
        seen.beginRows(table, columns.length)
        for await (const chunk of content) {
          seen.addRows(chunk)
          yield { kind: 'rows', table, chunk }
        }
      } else if (name.startsWith(FILES)) {
        const path = name.slice(FILES.length)
        const place = placeOf(path)
        if (!place) throw damaged(`it holds a file with a strange name, "${path}"`)
        yield { kind: 'file', place, content: seen.passFile(path, content) }
      } else if (name === MANIFEST) manifest = parse(manifestSchema, await text(entry))
      else throw damaged(`it holds something unknown, "${name}"`)
    }
    await source
  } catch (error) {
    throw isUnreadable(error) ? damaged('it cannot be read to its end') : error
  } finally {
    entries.destroy()
    await source.catch(() => undefined)
  }
  if (!about || !manifest) throw damaged('its end is missing')
  seen.compare(about, manifest)
  yield { kind: 'end', about, manifest }
}

type Counted = { rows: number; tabs: number; hash: Hash; columns: number }

/** Counts and hashes of what passed by, held against the manifest at the end. */
class Seen {
  private readonly tables = new Map<string, Counted>()
  private readonly files = new Map<string, { bytes: number; sha256: string }>()
  private current: Counted | undefined

  /** A piece of a table follows. */
  beginRows(table: string, columns: number): void {
    this.current = this.tables.get(table) ?? { rows: 0, tabs: 0, hash: createHash('sha256'), columns }
    this.tables.set(table, this.current)
  }

  addRows(chunk: Buffer): void {
    const { current } = this
    if (!current) return
    current.hash.update(chunk)
    // Line breaks and tabs inside a value are written as \n and \t, so each real one ends a row or a column.
    for (const byte of chunk)
      if (byte === 10) current.rows += 1
      else if (byte === 9) current.tabs += 1
  }

  async *passFile(path: string, entry: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
    const hash = createHash('sha256')
    let bytes = 0
    for await (const chunk of entry) {
      hash.update(chunk)
      bytes += chunk.length
      yield chunk
    }
    this.files.set(path, { bytes, sha256: hash.digest('hex') })
  }

  compare(about: About, manifest: Manifest): void {
    const wanted = about.tables.map(tableName)
    if (manifest.tables.map(({ table }) => table).join() !== wanted.join())
      throw damaged('its tables are not those that it names')
    for (const { table, rows, sha256 } of manifest.tables) {
      const found = this.tables.get(table) ?? { rows: 0, tabs: 0, hash: createHash('sha256'), columns: 1 }
      if (found.rows !== rows) throw damaged(`the table ${table} should have ${rows} rows and has ${found.rows}`)
      if (found.hash.digest('hex') !== sha256) throw damaged(`the rows of ${table} have changed`)
      if (found.tabs !== rows * (found.columns - 1)) throw damaged(`rows of ${table} have another number of columns`)
    }
    if (about.files === 'beside' ? this.files.size > 0 : this.files.size !== manifest.files.length)
      throw damaged(`it should hold ${manifest.files.length} files and holds ${this.files.size}`)
    for (const { path, bytes, sha256 } of about.files === 'within' ? manifest.files : []) {
      const found = this.files.get(path)
      if (found?.bytes !== bytes || found.sha256 !== sha256) throw damaged(`the file "${path}" has changed`)
    }
  }
}

/** What any version of the layout says. */
const versionSchema = z.object({ program: z.string(), format: z.number() })

function readAbout(content: string): About {
  const { program, format } = parse(versionSchema, content)
  if (program === 'tankround' && format > FORMAT)
    throw new OperatorError('This backup was made by a newer Tankround. Update first.')
  return parse(aboutSchema, content)
}

function parse<T>(schema: { parse: (value: unknown) => T }, content: string): T {
  try {
    return schema.parse(JSON.parse(content))
  } catch {
    throw damaged('its description cannot be read')
  }
}

/** Zlib's and tar's own faults; those of Postgres and of the disk are something else. */
function isUnreadable(error: unknown): boolean {
  if (!(error instanceof Error) || error instanceof OperatorError) return false
  const code = 'code' in error ? String(error.code) : ''
  return code.startsWith('Z_') || /tar header|tar checksum|unexpected end of data/i.test(error.message)
}
