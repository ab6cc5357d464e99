import 'server-only'
import { createHash } from 'node:crypto'
import { newId } from '@/lib/new-id'
import type { Transaction } from '@/lib/platform/db/scope'
import { sendJob } from '@/lib/platform/jobs/send'
import type { Actor } from '../frame/actor'
import { type CommandContext, defineCommand } from '../frame/command'
import { dayIn } from '../frame/days'
import { done, refused } from '../frame/result'
import { type BatchReport, batchReport, byKind } from './batch-report'
import { type AddedNote, type HistoryRows, historyRows, visitPlace } from './history-rows'
import { importRowRows } from './import-row-rows'
import { insertRows } from './insert-rows'
import { overlayKey, overlayRows } from './overlay-rows'
import type { ImportFile, ImportPlan } from './plan-types'
import { type ImportInput, type Prepared, prepareImport, waitForOtherImports } from './prepare-import'
import { dateColumn, type Places, type RegisterRows, registerRows } from './register-rows'
import { importSchema } from './schema'

export type ImportRecordsInput = ImportInput & { commandId: string; businessId: string }

/** Sixteen thousand rows take seconds; a slow disk may take minutes. */
const LIMITS = { timeoutMs: 5 * 60_000, waitMs: 30_000 }

/**
 * Brings old records: everything the files hold that is not here yet, or nothing. The batch's id is the command's.
 * Errors: `not-ready` with every open question and refusal in words; nothing is written then.
 */
export function importRecords(actor: Actor, { files, ...said }: ImportRecordsInput) {
  const named = files.map(({ name, bytes }) => ({ name, sha256: createHash('sha256').update(bytes).digest('hex') }))
  return bringRecords(actor, { ...said, files: named }, { beside: files })
}

/** The command behind it: in the log stand the hashes of the files, the files themselves come beside it. */
export const bringRecords = defineCommand(
  { kind: 'records.import', may: 'records.import', schema: importSchema, limits: LIMITS },
  async (context, { options, mapping }, beside: readonly ImportFile[] | undefined = []) => {
    const { tx, actor, commandId, audit } = context
    const { businessId } = actor
    const input = { files: beside, options, mapping }
    await waitForOtherImports(tx, businessId)
    const prepared = await prepareImport(tx, businessId, input)
    const { plan } = prepared
    if (!plan.ready) return refused('not-ready', whatIsOpen(plan))
    const report = await writePlan(context, input, prepared)
    const added = byKind((kind) => report.report[kind].added)
    await audit('import_batch', commandId, 'import', undefined, added)
    await sendJob(tx, 'refit-life-models', { businessId })
    return done({ batchId: commandId, added })
  },
)

/** Why nothing can be written yet, one sentence a reason. */
function whatIsOpen(plan: ImportPlan): string {
  if (plan.files.length === 0) return 'There is no file to bring.'
  const refusals = plan.refusals.map(({ file, reason }) => `${file}: ${reason}`)
  return [...refusals, ...plan.questions.map((question) => question.text)].join('\n')
}

async function writePlan(
  { tx, actor, commandId, madeAt }: CommandContext,
  input: ImportInput,
  { plan, here, business }: Prepared,
): Promise<BatchReport> {
  const { businessId } = actor
  const brought = { businessId, importBatchId: commandId }
  const { rows: register, places } = registerRows(plan, here, brought, dayIn(business.timeZone, madeAt))
  const visitsHere = await readVisitsHere(tx, businessId, plan, here.tanksHere)
  const { rows, addedNotes, visitIds } = historyRows(plan, places, visitsHere, {
    ...brought,
    timeZone: business.timeZone,
    commandId,
  })
  const report = batchReport(plan, addedNotes)
  await tx.importBatch.create({
    data: {
      businessId,
      id: commandId,
      personId: actor.personId,
      fileNames: plan.files.map((file) => file.name),
      options: input.options,
      mapping: input.mapping,
      report,
      createdAt: madeAt,
    },
  })
  if (input.options.gallon && business.gallon === null)
    await tx.business.update({ where: { id: businessId }, data: { gallon: input.options.gallon } })
  const overlay = overlayRows(plan, places, await readNamed(tx, businessId), brought)
  await writeRows(tx, register, rows, overlay, importRowRows(plan, places, visitIds, brought))
  for (const note of addedNotes) await addNote(tx, businessId, note)
  return report
}

/** In the order of what refers to what. */
async function writeRows(
  tx: Transaction,
  register: RegisterRows,
  history: HistoryRows,
  overlay: object[],
  importRows: object[],
): Promise<void> {
  await insertRows(tx, 'person', register.person)
  await insertRows(tx, 'client', register.client)
  await insertRows(tx, 'site', register.site)
  await insertRows(tx, 'tank', register.tank)
  await insertRows(tx, 'tank_client', register.tankClient)
  await insertRows(tx, 'slot', register.slot)
  await insertRows(tx, 'equipment', register.equipment)
  await insertRows(tx, 'agreement', register.agreement)
  await insertRows(tx, 'visit', history.visit)
  await insertRows(tx, 'visit_private', history.visitPrivate)
  await insertRows(tx, 'finding', history.finding)
  await insertRows(tx, 'renewal', history.renewal)
  await insertRows(tx, 'reading', history.reading)
  await insertRows(tx, 'part_used', history.partUsed)
  await insertRows(tx, 'catalogue_overlay', overlay)
  await insertRows(tx, 'import_row', importRows)
}

/** Visits that are done already at the tanks and days of the plan, so that a later file adds to them. */
async function readVisitsHere(
  tx: Transaction,
  businessId: string,
  plan: ImportPlan,
  tanksHere: Places['tanks'],
): Promise<Map<string, string>> {
  const tankIds = [...new Set(plan.visits.flatMap((visit) => tanksHere.get(visit.tankKey)?.id ?? []))]
  const first = plan.visits[0]?.date
  const last = plan.visits.at(-1)?.date
  if (tankIds.length === 0 || first === undefined || last === undefined) return new Map()
  const rows = await tx.visit.findMany({
    where: {
      businessId,
      tankId: { in: tankIds },
      state: 'done',
      localDate: { gte: dateColumn(first), lte: dateColumn(last) },
    },
    select: { id: true, tankId: true, localDate: true, technicianId: true, kind: true },
    orderBy: { id: 'desc' }, // of two the oldest is kept
  })
  return new Map(
    rows.map(({ id, tankId, localDate, technicianId, kind }) => [
      visitPlace(tankId, localDate.toISOString().slice(0, 10), technicianId, kind),
      id,
    ]),
  )
}

async function readNamed(tx: Transaction, businessId: string): Promise<Set<string>> {
  const rows = await tx.catalogueOverlay.findMany({
    where: { businessId, name: { not: '' }, kind: { in: ['class', 'mode'] } },
    select: { kind: true, slug: true, equipmentClass: true },
  })
  return new Set(
    rows.map(({ kind, slug, equipmentClass }) =>
      overlayKey(kind === 'class' ? { kind, slug, equipmentClass: slug } : { kind: 'mode', slug, equipmentClass }),
    ),
  )
}

/** Behind what is noted of a visit that was here already. */
async function addNote(tx: Transaction, businessId: string, { visitId, text }: AddedNote): Promise<void> {
  const where = { businessId_visitId: { businessId, visitId } }
  const before = await tx.visitPrivate.findUnique({ where })
  if (!before) await tx.visitPrivate.create({ data: { businessId, id: newId(), visitId, noteForUs: text } })
  else
    await tx.visitPrivate.update({
      where,
      data: { noteForUs: before.noteForUs === '' ? text : `${before.noteForUs}\n${text}` },
    })
}
