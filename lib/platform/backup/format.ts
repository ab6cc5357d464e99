import path from 'node:path'
import * as z from 'zod'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { type FilePlace, SHA256, UUID } from '@/lib/platform/files/file-store'

/** Version of the archive's layout. A reader also takes the first one, whose files always lie within; it refuses any other. */
export const FORMAT = 2
/** Rows of a table are cut into pieces of about this size, so that neither side ever holds a table in memory. */
export const PIECE_BYTES = 1024 * 1024

const table = z.object({
  schema: z.string(),
  name: z.string(),
  columns: z.array(z.string()),
  order: z.array(z.string()),
})

const described = {
  program: z.literal('tankround'),
  madeAt: z.iso.datetime(),
  migrations: z.array(z.string()),
  tables: z.array(table),
}

/**
 * First entry of an archive: what it is, of which version of the data, and which tables follow in which order. Its files lie
 * `within` the archive or `beside` it, in the folder FILES next to it.
 */
export const aboutSchema = z.union([
  z.object({ ...described, format: z.literal(FORMAT), files: z.enum(['within', 'beside']) }),
  z.object({ ...described, format: z.literal(1) }).transform((about) => ({ ...about, files: 'within' as const })),
])
export type About = z.output<typeof aboutSchema>

const hash = z.string().regex(SHA256)

/** Last entry: what was written, to hold what is read against. */
export const manifestSchema = z.object({
  tables: z.array(z.object({ table: z.string(), rows: z.number().int(), sha256: hash })),
  files: z.array(z.object({ path: z.string(), bytes: z.number().int(), sha256: hash })),
})
export type Manifest = z.infer<typeof manifestSchema>

export const ABOUT = 'about.json'
export const MANIFEST = 'manifest.json'
export const ROWS = 'rows/'
export const FILES = 'files/'

/** The folder that holds the files of the archives beside it. */
export function folderBeside(archive: string): string {
  return path.join(path.dirname(archive), FILES)
}

/** The path of a file in an archive. */
export function pathOf({ businessId, sha256 }: FilePlace): string {
  return `${businessId}/${sha256}`
}

/** The place of a path in an archive; of the first layout, `business/visit/file/hash`, too. Null for anything else. */
export function placeOf(pathInArchive: string): FilePlace | null {
  const parts = pathInArchive.split('/')
  const [businessId = '', ...between] = parts.slice(0, -1)
  const sha256 = parts.at(-1) ?? ''
  const isKnown = between.length === 0 || (between.length === 2 && between.every((id) => UUID.test(id)))
  return isKnown && UUID.test(businessId) && SHA256.test(sha256) ? { businessId, sha256 } : null
}

/** A backup that cannot be trusted, in words. */
export function damaged(how: string): OperatorError {
  return new OperatorError(`This backup is damaged: ${how}. Nothing was changed; take another one.`)
}
