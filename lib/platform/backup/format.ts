import { z } from 'zod'

/** Version of the archive's layout; a reader refuses any other. */
export const FORMAT = 1
/** Rows of a table are cut into pieces of about this size, so that neither side ever holds a table in memory. */
export const PIECE_BYTES = 1024 * 1024

const table = z.object({
  schema: z.string(),
  name: z.string(),
  columns: z.array(z.string()),
  order: z.array(z.string()),
})

/** First entry of an archive: what it is, of which version of the data, and which tables follow in which order. */
export const aboutSchema = z.object({
  program: z.literal('tankround'),
  format: z.literal(FORMAT),
  madeAt: z.iso.datetime(),
  migrations: z.array(z.string()),
  tables: z.array(table),
})
export type About = z.infer<typeof aboutSchema>

const hash = z.string().regex(/^[0-9a-f]{64}$/)

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
