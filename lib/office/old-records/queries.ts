import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../frame/actor'
import { batchReportSchema, byKind } from './batch-report'
import { FIELDS } from './columns'
import { type ImportInput, prepareImport } from './prepare-import'
import {
  type DryRun,
  dryRunOf,
  type FieldChoice,
  type FieldChoices,
  type ImportPage,
  type ImportSummary,
  type Writing,
} from './result'
import type { FileKind } from './schema'

const DRY_RUN_LIMITS = { timeoutMs: 60_000 }

/** Plans an import against what is here; writes nothing. */
export function dryRunImport(actor: Actor, input: ImportInput): Promise<DryRun> {
  return inBusiness(
    actor,
    async (tx) => {
      const { plan } = await prepareImport(tx, actor.businessId, input)
      return dryRunOf(plan)
    },
    DRY_RUN_LIMITS,
  )
}

export const IMPORTS_PER_PAGE = 25

/** What a column of each kind of file can be matched to. */
export function fieldChoices(): FieldChoices {
  const of = (kind: FileKind): FieldChoice[] =>
    Object.entries(FIELDS[kind]).map(([field, { label, required }]) => ({ field, label, required }))
  return { clients: of('clients'), tanks: of('tanks'), equipment: of('equipment'), visits: of('visits') }
}

/** The imports of a business, the newest first, those taken back among them. */
export function listImports(
  actor: Actor,
  page: number,
): Promise<{ imports: ImportSummary[]; total: number; writing: Writing }> {
  return inBusiness(actor, async (tx) => {
    const where = { businessId: actor.businessId }
    const rows = await tx.importBatch.findMany({
      where,
      include: { person: { select: { name: true } } },
      orderBy: [{ createdAt: 'desc' }, { id: 'desc' }],
      take: IMPORTS_PER_PAGE,
      skip: (page - 1) * IMPORTS_PER_PAGE,
    })
    const total = await tx.importBatch.count({ where })
    return { imports: rows.map(summaryOf), total, writing: await readWriting(tx, actor.businessId) }
  })
}

/** One import with its report; null where this business has no such one. */
export function findImport(actor: Actor, batchId: string): Promise<ImportPage | null> {
  return inBusiness(actor, async (tx) => {
    const row = await tx.importBatch.findFirst({
      where: { businessId: actor.businessId, id: batchId },
      include: { person: { select: { name: true } } },
    })
    if (!row) return null
    const { report, warnings, files } = batchReportSchema.parse(row.report)
    return { ...summaryOf(row), report, warnings, files, writing: await readWriting(tx, actor.businessId) }
  })
}

function readWriting(tx: Transaction, businessId: string): Promise<Writing> {
  return tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { locale: true, timeZone: true } })
}

type BatchRow = {
  id: string
  fileNames: string[]
  report: unknown
  createdAt: Date
  withdrawnAt: Date | null
  person: { name: string } | null
}

function summaryOf({ id, fileNames, createdAt, withdrawnAt, person, ...row }: BatchRow): ImportSummary {
  const { report } = batchReportSchema.parse(row.report)
  const kinds = Object.values(report)
  return {
    id,
    fileNames,
    broughtBy: person?.name ?? '',
    createdAt: createdAt.toISOString(),
    withdrawnAt: withdrawnAt?.toISOString() ?? null,
    added: byKind((kind) => report[kind].added),
    repeated: kinds.reduce((sum, kind) => sum + kind.repeated, 0),
    rejected: kinds.reduce((sum, kind) => sum + kind.rejected.length, 0),
  }
}
