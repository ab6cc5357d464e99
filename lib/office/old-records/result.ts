/** What the screens are told of an import: the plan without the thousands of rows in it. Pure. */
import type { KindCounts } from './batch-report'
import type { FileSummary, ImportPlan, ImportReport, Question, Warning } from './plan-types'
import type { FileKind } from './schema'

export type { FileSummary, ImportReport, KindCounts, Question, Warning }

export type DryRun = Pick<ImportPlan, 'files' | 'report' | 'warnings' | 'questions' | 'refusals' | 'ready'> & {
  /** Visits that the rows of visits make. */
  visits: number
  /** How many volumes are written in which unit; '' where none is written. */
  volumeUnits: { unit: string; count: number }[]
}

export function dryRunOf(plan: ImportPlan): DryRun {
  const { files, report, warnings, questions, refusals, ready } = plan
  const units = new Map<string, number>()
  for (const { volumeUnit } of plan.tanks) units.set(volumeUnit, (units.get(volumeUnit) ?? 0) + 1)
  const volumeUnits = [...units].map(([unit, count]) => ({ unit, count })).sort((a, b) => b.count - a.count)
  return { files, report, warnings, questions, refusals, ready, visits: plan.visits.length, volumeUnits }
}

/** A field that a column can be matched to, as the screens list it. */
export type FieldChoice = { field: string; label: string; required: boolean }
export type FieldChoices = Record<FileKind, FieldChoice[]>

/** How moments are written for this business. */
export type Writing = { locale: string; timeZone: string }

export type ImportSummary = {
  id: string
  fileNames: string[]
  broughtBy: string
  /** Instants, ISO. */
  createdAt: string
  withdrawnAt: string | null
  added: KindCounts
  repeated: number
  rejected: number
}
export type ImportPage = ImportSummary & {
  writing: Writing
  report: ImportReport
  warnings: Warning[]
  files: { name: string; kind: FileKind | null; rows: number }[]
}
