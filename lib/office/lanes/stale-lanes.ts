import 'server-only'
import { newId } from '@/lib/new-id'
import type { Transaction } from '@/lib/platform/db/scope'
import { sendJob } from '@/lib/platform/jobs/send'

/**
 * Joins those who make single lanes of a business, for the rest of this transaction. False while somebody makes all of them again, or
 * waits to: then nobody here waits, and what changed is marked instead.
 */
export async function takeLanes(tx: Transaction, businessId: string): Promise<boolean> {
  const rows = await tx.$queryRaw<{ taken: boolean }[]>`
    SELECT pg_try_advisory_xact_lock_shared(hashtextextended(${`derived ${businessId}`}, 0)) AS taken`
  return rows[0]?.taken === true
}

/** Marks lanes of these devices as no longer what the records say; the worker makes them again. */
export async function markStale(tx: Transaction, businessId: string, equipmentIds: readonly string[]): Promise<void> {
  // A row for each time: whoever makes lanes again takes away only the marks that were there before.
  await tx.staleLane.createMany({
    data: [...new Set(equipmentIds)].map((equipmentId) => ({ businessId, id: newId(), equipmentId })),
  })
  await sendJob(tx, 'recompute-stale-lanes', { businessId })
}

/** The same for every device in use of these classes (of every class: '*'), after a change of what their care costs. */
export async function markClassesStale(
  tx: Transaction,
  businessId: string,
  equipmentClasses: readonly string[] | '*',
): Promise<void> {
  const all = equipmentClasses === '*'
  if (!all && equipmentClasses.length === 0) return
  await tx.$executeRaw`
    INSERT INTO stale_lane (business_id, id, equipment_id)
    SELECT business_id, gen_random_uuid(), id FROM equipment WHERE business_id = ${businessId}::uuid AND removed_on IS NULL
      AND (${all} OR equipment_class = ANY (${all ? [] : [...equipmentClasses]}::text[]))`
  await sendJob(tx, 'recompute-stale-lanes', { businessId })
}
