import 'server-only'
import { inScope, type Transaction } from '@/lib/platform/db/scope'
import { type Sql, sqlOf } from '@/lib/platform/db/sql'
import { sendJob } from '@/lib/platform/jobs/send'
import { countsByTank, rankWithIntervals } from './faults'
import { pairKey } from './pair-key'
import { storeFaults } from './store-derived'

type Pair = { equipmentClass: string; failureMode: string }

/**
 * In a business of this many tanks a visit does not wait for ranks: one need moves the figures of every tank a little, and to
 * write them all takes about a tenth of a millisecond each, for every class × mode of the visit.
 */
const TANKS_RANKED_AT_ONCE = 300

/** Ranks the tanks of one class × mode anew from what its lanes have counted. */
export async function rerank(
  sql: Sql,
  businessId: string,
  { equipmentClass, failureMode }: Pair,
  modelVersion: number,
): Promise<void> {
  const pair = [businessId, equipmentClass, failureMode]
  const ofPair = 'business_id = $1::uuid AND equipment_class = $2 AND failure_mode = $3'
  const counts = await sql<{ tank: string; observed: number; expected: number }>(
    `SELECT tank_id AS tank, events AS observed, expected FROM lane WHERE ${ofPair} ORDER BY tank_id, equipment_id`,
    pair,
  )
  await sql(`DELETE FROM repeat_fault WHERE ${ofPair}`, pair)
  const ranked = rankWithIntervals(countsByTank(counts))
  await storeFaults(sql, businessId, { equipmentClass, failureMode }, ranked, modelVersion)
}

/** Ranks of the classes × modes that a visit touched: now, or in a large business by a job some minutes later. */
export async function rerankTouched(
  tx: Transaction,
  businessId: string,
  touched: readonly Pair[],
  modelVersion: number,
): Promise<void> {
  const tanks = await tx.tank.count({ where: { businessId } })
  if (tanks <= TANKS_RANKED_AT_ONCE) await rerankLocked(tx, businessId, touched, modelVersion)
  else await sendJob(tx, 'rank-faults', { businessId })
}

/** The job: ranks anew whatever no longer agrees with the counts of the lanes. */
export async function rankStaleFaults(who: { businessId: string; personId: string }): Promise<void> {
  const { businessId } = who
  await inScope(
    { role: 'office', ...who },
    async (tx) => {
      await tx.$queryRaw`SELECT 1 AS locked FROM pg_advisory_xact_lock_shared(hashtextextended(${`derived ${businessId}`}, 0))`
      const stale = await tx.$queryRaw<Pair[]>`
        SELECT DISTINCT equipment_class AS "equipmentClass", failure_mode AS "failureMode"
        FROM (
          SELECT tank_id, equipment_class, failure_mode, sum(events) AS observed, sum(expected ORDER BY equipment_id) AS expected
          FROM lane WHERE business_id = ${businessId}::uuid GROUP BY tank_id, equipment_class, failure_mode
        ) counted
        FULL JOIN (SELECT * FROM repeat_fault WHERE business_id = ${businessId}::uuid) ranked
          USING (tank_id, equipment_class, failure_mode)
        WHERE (counted.observed IS DISTINCT FROM ranked.observed OR counted.expected IS DISTINCT FROM ranked.expected)
          AND (counted.expected > 0 OR ranked.tank_id IS NOT NULL)`
      const newest = await tx.lifeModel.aggregate({ where: { businessId }, _max: { version: true } })
      await rerankLocked(tx, businessId, stale, newest._max.version ?? 0)
    },
    { timeoutMs: LONGEST_MS },
  )
}

const LONGEST_MS = 10 * 60_000

async function rerankLocked(
  tx: Transaction,
  businessId: string,
  touched: readonly Pair[],
  modelVersion: number,
): Promise<void> {
  const pairs = new Map(touched.map((pair) => [pairKey(pair), pair]))
  for (const key of [...pairs.keys()].sort()) {
    const pair = pairs.get(key)
    if (!pair) continue
    // Two visits of one class × mode at the same moment: the later one must see the earlier one's counts.
    await tx.$queryRaw`SELECT 1 AS locked FROM pg_advisory_xact_lock(hashtextextended(${`rank ${businessId} ${key}`}, 0))`
    await rerank(sqlOf(tx), businessId, pair, modelVersion)
  }
}
