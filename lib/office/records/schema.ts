/** What a person chooses when bringing old records: readings of dates, decimals and gallons, and which column is what. */
import { z } from 'zod'
import { DATE_ORDERS } from './dates'
import { DECIMAL_MARKS } from './numbers'
import { GALLONS } from './volumes'

export const FILE_KINDS = ['clients', 'tanks', 'equipment', 'visits'] as const
export type FileKind = (typeof FILE_KINDS)[number]

export const DELIMITERS = [',', ';', '\t', '|'] as const
export type Delimiter = (typeof DELIMITERS)[number]

const readingChoices = {
  dateOrder: z.enum(DATE_ORDERS).optional(),
  decimalMark: z.enum(DECIMAL_MARKS).optional(),
}

/** What is left out is detected and shown; `files` overrides the whole for one file, by its name. */
export const importOptionsSchema = z.strictObject({
  ...readingChoices,
  gallon: z.enum(GALLONS).optional(),
  files: z
    .record(z.string(), z.strictObject({ ...readingChoices, delimiter: z.enum(DELIMITERS).optional() }))
    .optional(),
})
export type ImportOptions = z.infer<typeof importOptionsSchema>

/**
 * Which column of which file is what: by file name, or by kind for every file of that kind. `columns` goes from our field to
 * the header as written, or to '' where the file does not have it. A file named here counts as looked at by a person: columns nobody matched are left out.
 * @example { "old visits.csv": { "kind": "visits", "columns": { "date": "Wann", "tank": "Wo" } } }
 */
export const mappingSchema = z.record(
  z.string(),
  z.strictObject({ kind: z.enum(FILE_KINDS).optional(), columns: z.record(z.string(), z.string()).default({}) }),
)
export type Mapping = z.infer<typeof mappingSchema>

/** Takes an import back. */
export const withdrawSchema = z.object({ commandId: z.uuid(), businessId: z.uuid(), batchId: z.uuid() })
export type WithdrawInput = z.infer<typeof withdrawSchema>

/** Bounds of what the screens take at once; the server refuses bodies above 20 MB before anyone reads them. */
export const FILES_MAX = 20
export const BYTES_MAX = 19_000_000

const json = <T extends z.ZodType>(schema: T) =>
  z
    .string()
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
    .max(FILES_MAX, `At most ${FILES_MAX} files at once.`),
  options: json(importOptionsSchema),
  mapping: json(mappingSchema),
})
