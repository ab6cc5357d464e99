import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Sql, sqlOf } from '@/lib/platform/db/sql'
import { labourMinorPerMinute } from '@/lib/trade/labour'
import type { DerivedSettings, ModelVersion } from './compute-derived'
import type { LaneSummary } from './derive'
import type { CostRow } from './due-items'
import { USUAL_VISIT_EVERY_DAYS } from './due-items'
import { readDevices, readLaneRows } from './lane-rows'
import { type PooledFit, readKnowledge } from './life-models'
import { moneyInWords } from './money-in-words'
import { pairKey } from './pair-key'
import { readChoices, readClientCosts, readPartsCosts } from './read-choices'
import { lanesOf } from './stream-lanes'
import { wearDueDays } from './wear'

/** Lanes of some tanks or devices, or of all, their lives read. */
export async function readLanes(
  tx: Transaction,
  businessId: string,
  only: { tankIds: string[] } | { equipmentIds: string[] } | 'all',
  modelCutoffDay: number,
): Promise<LaneSummary[]> {
  const sql = sqlOf(tx)
  const devices = await readDevices(sql, businessId, only)
  return lanesOf({ devices, rows: await readLaneRows(sql, businessId, devices) }, modelCutoffDay)
}

/** Before the first fit. */
export const NO_MODELS: ModelVersion = { version: 0, cutoffDay: 0, fits: new Map() }

/** The newest version of the pooled fits, of these classes only where they are given; null before the first. */
export async function readModels(
  tx: Transaction,
  businessId: string,
  { classes }: { classes?: readonly string[] } = {},
): Promise<ModelVersion | null> {
  return readModelsBy(sqlOf(tx), businessId, { classes })
}

/** The same on any connection, or a given version. */
export async function readModelsBy(
  sql: Sql,
  businessId: string,
  { version, classes }: { version?: number | undefined; classes?: readonly string[] | undefined } = {},
): Promise<ModelVersion | null> {
  const [at] = await sql<{ version: number; cutoffDay: number }>(
    `SELECT version, cutoff_on - DATE '1970-01-01' AS "cutoffDay" FROM life_model
    WHERE business_id = $1::uuid AND version = coalesce($2::int, version) ORDER BY version DESC LIMIT 1`,
    [businessId, version ?? null],
  )
  if (!at) return null
  const rows = await sql<PooledFit & { parameters: unknown }>(
    `SELECT equipment_class AS "equipmentClass", failure_mode AS "failureMode",
      lives, events, shape, scale_days AS "scaleDays", log_likelihood AS "logLikelihood", not_estimable AS "notEstimable", parameters
    FROM life_model WHERE business_id = $1::uuid AND version = $2 AND equipment_class = ANY (coalesce($3::text[], ARRAY[equipment_class]))
    ORDER BY equipment_class, failure_mode`,
    [businessId, at.version, classes ?? null],
  )
  return {
    ...at,
    fits: new Map(
      rows.map(({ parameters, ...fit }) => [pairKey(fit), { ...fit, knowledge: readKnowledge(parameters) }]),
    ),
  }
}

/** How often we come to each tank by its agreement, days. */
export async function readCadences(
  tx: Transaction,
  businessId: string,
  tankIds: string[],
): Promise<(tankId: string) => number> {
  // The newest agreement that has begun counts, an open-ended one before one that ended; one that is still to come only where there is no other.
  const rows = await tx.$queryRaw<{ tankId: string; everyDays: number }[]>`
    SELECT tank_id AS "tankId", every_days AS "everyDays" FROM agreement
    WHERE business_id = ${businessId}::uuid AND tank_id = ANY (${tankIds}::uuid[])
    ORDER BY starts_on <= current_date, ends_on NULLS LAST, starts_on, id`
  const byTank = new Map(rows.map((row) => [row.tankId, row.everyDays]))
  return (tankId) => byTank.get(tankId) ?? USUAL_VISIT_EVERY_DAYS
}

/** The newest version of the business's own costs; version 0 where it has stated none. */
async function readCosts(tx: Transaction, businessId: string): Promise<{ version: number; rows: CostRow[] }> {
  const newest = await tx.costSetting.findFirst({
    where: { businessId },
    orderBy: { version: 'desc' },
    select: { version: true },
  })
  if (!newest) return { version: 0, rows: [] }
  const rows = await tx.costSetting.findMany({ where: { businessId, version: newest.version } })
  return { version: newest.version, rows: rows.map((row) => ({ ...row, shareReported: row.shareReported.toNumber() })) }
}

/** What a minute of work costs to start from, in the business's currency, minor units. */
export async function readLabourPerMinute(tx: Transaction, businessId: string): Promise<number> {
  const business = await tx.business.findUnique({ where: { id: businessId }, select: { currency: true } })
  return labourMinorPerMinute(business?.currency ?? 'GBP')
}

/** What the business has set for these tanks. */
export async function readSettings(tx: Transaction, businessId: string, tankIds: string[]): Promise<DerivedSettings> {
  const devices = await tx.$queryRaw<{ id: string }[]>`
    SELECT equipment.id FROM equipment JOIN tank ON tank.business_id = equipment.business_id AND tank.id = equipment.tank_id
    WHERE equipment.business_id = ${businessId}::uuid AND removed_on IS NULL
      AND coalesce(tank.merged_into_id, tank.id) = ANY (${tankIds}::uuid[])
    ORDER BY equipment.id`
  const worn = await wearDueDays(
    tx,
    businessId,
    devices.map(({ id }) => id),
  )
  return {
    costs: await readCosts(tx, businessId),
    clientCostOf: await readClientCosts(tx, businessId, tankIds),
    visitEveryDays: await readCadences(tx, businessId, tankIds),
    choicesOf: await readChoices(tx, businessId, tankIds),
    partsCostOf: await readPartsCosts(tx, businessId),
    labourPerMinute: await readLabourPerMinute(tx, businessId),
    wearOf: (equipmentId, failureMode) => worn.get(`${equipmentId} ${failureMode}`),
    formatMoney: await moneyInWords(tx, businessId),
  }
}
