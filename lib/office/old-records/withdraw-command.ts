import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { sendJob } from '@/lib/platform/jobs/send'
import { defineCommand } from '../frame/command'
import { done, refused } from '../frame/result'
import { batchReportSchema, byKind } from './batch-report'
import { laterWork } from './later-work'
import { waitForOtherImports } from './prepare-import'
import { withdrawSchema } from './schema'

const LIMITS = { timeoutMs: 60_000, waitMs: 30_000 }

/**
 * Takes an import back whole: its rows are hidden from every list, sum and estimate, and the same files arrive in full again.
 * Errors: `later-work` with the list of what hangs on it, one a line.
 */
export const withdrawImport = defineCommand(
  { kind: 'records.withdraw', may: 'records.import', schema: withdrawSchema, limits: LIMITS },
  async (context, input) => {
    const {
      tx,
      actor: { businessId },
      madeAt,
      audit,
    } = context
    const { batchId } = input
    await waitForOtherImports(tx, businessId)
    const where = { businessId_id: { businessId, id: batchId } }
    const batch = await tx.importBatch.findUnique({ where })
    if (!batch) return refused('not-found', 'There is no such import.')
    if (batch.withdrawnAt) return refused('already-so', 'This import was taken back before.')
    const hanging = await laterWork(tx, businessId, batchId)
    if (hanging.length > 0)
      return refused('later-work', ['Later work hangs on what this import brought:', ...hanging].join('\n'))
    const { report, addedNotes } = batchReportSchema.parse(batch.report)
    await dropDerived(tx, businessId, batchId)
    for (const note of addedNotes) await takeNoteOut(tx, businessId, note)
    await tx.importBatch.update({ where, data: { withdrawnAt: madeAt } })
    const hidden = byKind((kind) => report[kind].added)
    await audit('import_batch', batchId, 'withdraw', undefined, { withdrawnAt: madeAt.toISOString(), hidden })
    await sendJob(tx, 'refit-life-models', { businessId })
    return done({ batchId, hidden })
  },
)

/** What was derived from the batch goes at once; the rest is made again by the job. */
async function dropDerived(tx: Transaction, businessId: string, batchId: string): Promise<void> {
  const tanks = await tx.tank.findMany({ where: { businessId, importBatchId: batchId }, select: { id: true } })
  const where = { businessId, tankId: { in: tanks.map((tank) => tank.id) } }
  await tx.repeatFault.deleteMany({ where })
  await tx.dueItem.deleteMany({ where })
  await tx.lane.deleteMany({ where })
}

/** Out of the note again, unless somebody has changed the words since. */
async function takeNoteOut(tx: Transaction, businessId: string, note: { visitId: string; text: string }) {
  const where = { businessId_visitId: { businessId, visitId: note.visitId } }
  const kept = await tx.visitPrivate.findUnique({ where })
  if (!kept?.noteForUs.includes(note.text)) return
  const lines = kept.noteForUs.replace(note.text, '').split('\n')
  await tx.visitPrivate.update({ where, data: { noteForUs: lines.filter((line) => line !== '').join('\n') } })
}
