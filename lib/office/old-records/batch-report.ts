/** What is kept of a dry run with its batch, and what is shown of it. Pure. */
import { z } from 'zod'
import type { ImportPlan } from './plan-types'
import { FILE_KINDS, type FileKind } from './schema'

const kindReport = z.object({
  added: z.number(),
  repeated: z.number(),
  rejected: z.array(z.object({ file: z.string(), line: z.number(), reason: z.string() })),
})

/** `addedNotes`: words put behind the notes of visits that were here; they leave again with the batch. */
export const batchReportSchema = z.object({
  report: z.object({ clients: kindReport, tanks: kindReport, equipment: kindReport, visits: kindReport }),
  warnings: z.array(z.object({ file: z.string(), line: z.number().nullable(), text: z.string() })),
  files: z.array(z.object({ name: z.string(), kind: z.enum(FILE_KINDS).nullable(), rows: z.number() })),
  addedNotes: z.array(z.object({ visitId: z.string(), text: z.string() })),
})
export type BatchReport = z.infer<typeof batchReportSchema>

export function batchReport(plan: ImportPlan, addedNotes: BatchReport['addedNotes']): BatchReport {
  const files = plan.files.map(({ name, kind, rows }) => ({ name, kind, rows }))
  return { report: plan.report, warnings: plan.warnings, files, addedNotes }
}

export type KindCounts = Record<FileKind, number>

/** A number for each kind of file. */
export function byKind(countOf: (kind: FileKind) => number): KindCounts {
  return {
    clients: countOf('clients'),
    tanks: countOf('tanks'),
    equipment: countOf('equipment'),
    visits: countOf('visits'),
  }
}
