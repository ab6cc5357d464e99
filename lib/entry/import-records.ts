import { z } from 'zod'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { dayOf } from '@/lib/office/lanes/day-numbers'
import { refitLifeModels } from '@/lib/office/lanes/rebuild'
import type { KindCounts } from '@/lib/office/old-records/batch-report'
import { importRecords, withdrawImport } from '@/lib/office/old-records/commands'
import { planImport } from '@/lib/office/old-records/plan-import'
import type { ImportFile, ImportPlan, ImportReport } from '@/lib/office/old-records/plan-types'
import { dryRunImport, findImport } from '@/lib/office/old-records/queries'
import { type FileKind, type Mapping, mappingSchema } from '@/lib/office/old-records/schema'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { commandLineActor, findBusinessActor, makeBusinessForCommandLine } from './command-line-actor'

type KindAnswer = { added: number; repeated: number; rejected: { line: number; reason: string }[] }
export type ImportAnswer = { batch: string | null } & Record<FileKind, KindAnswer>
export type UndoAnswer = { batch: string; withdrawn: true } & KindCounts

type ImportRequest = {
  files: ImportFile[]
  business: string | undefined
  create: boolean
  dryRun: boolean
  gallon: 'us' | 'imperial' | undefined
  mapping: unknown
  log: (line: string) => void
}

/**
 * Brings the files into a business, or tells what would be brought (`dryRun`: batch null, nothing written); then fits the life
 * models anew, so that estimates asked for next are of today. Errors: OperatorError, and nothing is written then.
 */
export async function runImport({ files, dryRun, ...request }: ImportRequest): Promise<ImportAnswer> {
  const { log } = request
  const mapping = readMapping(request.mapping)
  const options = request.gallon ? { gallon: request.gallon } : {}
  const found = request.create
    ? await findBusinessActor(request.business ?? '')
    : await commandLineActor(request.business)
  const plan = found ? await dryRunImport(found, { files, options, mapping }) : planImport(files, options, mapping)
  refuseUnlessReady(plan)
  for (const { file, line, text } of plan.warnings) log(`${file}${line === null ? '' : `, line ${line}`}: ${text}`)
  if (dryRun) {
    log('Dry run: nothing was written.')
    return answerOf(null, plan.report)
  }
  const actor = found ?? (await makeBusinessForCommandLine(request.business ?? ''))
  log(`Bringing ${files.map((file) => file.name).join(', ')} …`)
  const { businessId } = actor
  const result = await importRecords(actor, { commandId: newId(), businessId, files, options, mapping })
  if (!result.ok) throw new OperatorError(result.words ?? result.reason)
  const batch = await findImport(actor, result.value.batchId)
  if (!batch) throw new Error(`import ${result.value.batchId} cannot be found after it was written`)
  await refit(actor, log)
  return answerOf(batch.id, batch.report)
}

/** Takes an import back. Errors: OperatorError with the list of later work that hangs on it. */
export async function runUndo(request: { business: string | undefined; batchId: string }): Promise<UndoAnswer> {
  const actor = await commandLineActor(request.business)
  const { businessId } = actor
  const result = await withdrawImport(actor, { commandId: newId(), businessId, batchId: request.batchId })
  if (!result.ok) throw new OperatorError(result.words ?? result.reason)
  await refit(actor, () => undefined)
  return { batch: result.value.batchId, withdrawn: true, ...result.value.hidden }
}

async function refit(actor: Actor, log: (line: string) => void): Promise<void> {
  log('Fitting the life models …')
  await refitLifeModels(actor, dayOf(new Date()))
}

function readMapping(given: unknown): Mapping {
  const parsed = mappingSchema.safeParse(given)
  if (!parsed.success) throw new OperatorError(`The mapping is not right:\n${z.prettifyError(parsed.error)}`)
  return parsed.data
}

function refuseUnlessReady({
  refusals,
  questions,
  ready,
  files,
}: Pick<ImportPlan, 'refusals' | 'questions' | 'ready' | 'files'>) {
  if (ready) return
  const lines = refusals.map(({ file, reason }) => `${file}: ${reason}`)
  if (refusals.length > 0)
    lines.push(
      'Give a mapping: --mapping FILE, JSON of the form { "visits.csv": { "kind": "visits", "columns": { "date": "Day" } } }.',
    )
  for (const { about, text } of questions)
    lines.push(
      about === 'gallon'
        ? `${text} Say --gallon us or --gallon imperial.`
        : `${text} This can be chosen on the screen “Old records”.`,
    )
  if (files.length === 0) lines.push('There is no file to bring.')
  throw new OperatorError(lines.join('\n'))
}

function answerOf(batch: string | null, report: ImportReport): ImportAnswer {
  const kind = ({ added, repeated, rejected }: ImportReport[FileKind]): KindAnswer => ({
    added,
    repeated,
    rejected: rejected.map(({ line, reason }) => ({ line, reason })),
  })
  const { clients, tanks, equipment, visits } = report
  return { batch, clients: kind(clients), tanks: kind(tanks), equipment: kind(equipment), visits: kind(visits) }
}
