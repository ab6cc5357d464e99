/** What a person chooses when bringing old records: readings of dates, decimals and gallons, and which column is what. */
import * as z from 'zod'
import { text, textAsTyped } from '../frame/fields'
import { DECIMAL_MARKS } from '../frame/numbers'
import { GALLONS } from '../frame/volumes'
import { DATE_ORDERS } from './dates'

export const FILE_KINDS = ['clients', 'tanks', 'equipment', 'visits'] as const
export type FileKind = (typeof FILE_KINDS)[number]

export const DELIMITERS = [',', ';', '\t', '|'] as const
export type Delimiter = (typeof DELIMITERS)[number]

/** A file has no more columns, and an import no more files, than this; names and headers stand as they are written. */
const MOST_ENTRIES = 1000
const written = textAsTyped(1000)
const few = (entries: object) => Object.keys(entries).length <= MOST_ENTRIES
const TOO_MANY = `At most ${MOST_ENTRIES} at once.`

const readingChoices = {
  dateOrder: z.enum(DATE_ORDERS).optional(),
  decimalMark: z.enum(DECIMAL_MARKS).optional(),
}

/** What is left out is detected and shown; `files` overrides the whole for one file, by its name. */
export const importOptionsSchema = z.strictObject({
  ...readingChoices,
  gallon: z.enum(GALLONS).optional(),
  files: z
    .record(written, z.strictObject({ ...readingChoices, delimiter: z.enum(DELIMITERS).optional() }))
    .refine(few, TOO_MANY)
    .optional(),
})
export type ImportOptions = z.infer<typeof importOptionsSchema>

/**
 * Which column of which file is what: by file name, or by kind for every file of that kind. `columns` goes from our field to
 * the header as written, or to '' where the file does not have it. A file named here counts as looked at by a person: columns nobody matched are left out.
 * @example { "old visits.csv": { "kind": "visits", "columns": { "date": "Wann", "tank": "Wo" } } }
 */
export const mappingSchema = z
  .record(
    written,
    z.strictObject({
      kind: z.enum(FILE_KINDS).optional(),
      columns: z.record(written, written).refine(few, TOO_MANY).default({}),
    }),
  )
  .refine(few, TOO_MANY)
export type Mapping = z.infer<typeof mappingSchema>

/** Takes an import back. */
export const withdrawSchema = z.object({ commandId: z.uuid(), businessId: z.uuid(), batchId: z.uuid() })

/** Bounds of what the screens take at once. */
export const FILES_MAX = 20
export const BYTES_MAX = 19_000_000

/** What an import is, as the log keeps it: of each file its name and what is in it, by hash. */
export const importSchema = z.object({
  commandId: z.uuid(),
  businessId: z.uuid(),
  files: z.array(z.object({ name: written, sha256: text(64).regex(/^[0-9a-f]{64}$/) })).max(MOST_ENTRIES),
  options: importOptionsSchema,
  mapping: mappingSchema,
})

/** The files, and what stands around them in a form: names, choices, boundaries. The server in front refuses more. */
export const IMPORT_FORM_MOST_BYTES = BYTES_MAX + 1_000_000

export const IMPORT_WORDS = {
  signedOut: 'You are signed out. Nothing was changed. Sign in again, then choose the files once more.',
  tooLarge: `These files are too large: at most ${BYTES_MAX / 1_000_000} MB go at once. Bring visits year by year.`,
  noForm: 'This form is out of date. Reload the page.',
} as const

const json = <T extends z.ZodType>(schema: T) =>
  text(1_000_000)
    .transform((text, context) => {
      try {
        return JSON.parse(text) as unknown
      } catch {
        context.addIssue({ code: 'custom', message: 'not JSON' })
        return z.NEVER
      }
    })
    .pipe(schema)

/** What the screens post: the files themselves each time, so that nothing is kept before the person says yes. */
export const importFormSchema = z.object({
  businessId: z.uuid(),
  commandId: z.uuid(),
  files: z
    .array(z.instanceof(File))
    .min(1, 'Choose at least one file.')
    .max(FILES_MAX, `At most ${FILES_MAX} files at once.`)
    .refine((files) => files.reduce((sum, { size }) => sum + size, 0) <= BYTES_MAX, IMPORT_WORDS.tooLarge),
  options: json(importOptionsSchema),
  mapping: json(mappingSchema),
})
