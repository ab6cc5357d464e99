import 'server-only'
import { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { WEAR_RULES, type WearReading } from '@/lib/trade'

/** The readings of one device that show the wear of one mode, since that mode was last renewed. */
export type WearPath = {
  equipmentId: string
  slotId: string
  failureMode: string
  /** Day of the last renewal, or of an installation by us; null where the age is unknown. */
  sinceDay: number | null
  readings: WearReading[]
}

type Row = {
  equipmentId: string
  slotId: string
  failureMode: string
  sinceDay: number | null
  day: number | null
  value: number | null
}

const MODES = WEAR_RULES.map(({ mode }) => mode)
const QUANTITIES: string[] = WEAR_RULES.map(({ quantity }) => quantity)

const isList = (of: readonly string[] | { inPlaceAt: string }): of is readonly string[] => Array.isArray(of)

/**
 * The paths of these devices, or of those in place at a tank, in one query by the index on (business, device, quantity, day). A renewal starts the path
 * anew at its instant, so that the last figure of the old part and the first of the new one, taken at one visit, stay
 * apart; of one day the newest figure counts. A path without readings is in it too.
 */
export async function readWearPaths(
  tx: Transaction,
  businessId: string,
  of: readonly string[] | { inPlaceAt: string },
): Promise<WearPath[]> {
  if (isList(of) && of.length === 0) return []
  const asked = isList(of)
    ? Prisma.sql`device.id = ANY (${[...of]}::uuid[])`
    : Prisma.sql`device.tank_id = ${of.inPlaceAt}::uuid AND device.removed_on IS NULL`
  const rows = await tx.$queryRaw<Row[]>`
    SELECT device.id AS "equipmentId", device.slot_id AS "slotId", rule.mode AS "failureMode",
      coalesce(renewed.renewed_on, CASE WHEN device.installed_confirmed_new THEN device.installed_on END) - DATE '1970-01-01' AS "sinceDay",
      measured.taken_on - DATE '1970-01-01' AS day, measured.value::float8 AS value
    FROM unnest(${MODES}::text[], ${QUANTITIES}::text[]) AS rule (mode, quantity)
    JOIN equipment device ON device.business_id = ${businessId}::uuid AND ${asked}
      AND device.equipment_class = split_part(rule.mode, '/', 1)
    LEFT JOIN LATERAL (
      SELECT r.renewed_on, r.made_at FROM renewal r
      WHERE r.business_id = device.business_id AND r.equipment_id = device.id AND r.failure_mode = rule.mode AND NOT r.is_partial
        AND NOT EXISTS (SELECT 1 FROM renewal c WHERE c.business_id = r.business_id AND c.corrects_id = r.id)
      ORDER BY r.renewed_on DESC, r.made_at DESC, r.id DESC LIMIT 1
    ) renewed ON true
    LEFT JOIN LATERAL (
      SELECT DISTINCT ON (m.taken_on) m.taken_on, m.value FROM reading m
      WHERE m.business_id = device.business_id AND m.equipment_id = device.id AND m.quantity = rule.quantity
        AND (renewed.renewed_on IS NULL OR m.taken_on > renewed.renewed_on
          OR (m.taken_on = renewed.renewed_on AND m.taken_at >= renewed.made_at))
        AND NOT EXISTS (SELECT 1 FROM reading c WHERE c.business_id = m.business_id AND c.corrects_id = m.id)
      ORDER BY m.taken_on, m.taken_at DESC, m.id DESC
    ) measured ON true
    ORDER BY device.id, rule.mode, measured.taken_on`
  const paths = new Map<string, WearPath>()
  for (const { day, value, ...at } of rows) {
    const key = `${at.equipmentId} ${at.failureMode}`
    const path = paths.get(key) ?? { ...at, readings: [] }
    if (day !== null && value !== null) path.readings.push({ day, value })
    paths.set(key, path)
  }
  return [...paths.values()]
}
