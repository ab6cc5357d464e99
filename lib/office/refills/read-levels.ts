import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import type { LevelRecord } from '@/lib/science'
import { newestLevels } from './newest-levels'

/** A level as it counts: what was said of one container at one visit, or outside visits by one record. */
export type LevelRow = {
  /** The newest of the rows it is made of; what a correction corrects. */
  id: string
  reservoirId: string
  visitId: string | null
  on: string
  day: number
  before: number | null
  after: number | null
}

/** How many of the newest rows are read; a container has one or two a visit. */
const NEWEST_ROWS = 60

/** The newest levels of these containers, oldest first; rows that were corrected give way to their corrections. */
export async function readLevels(
  tx: Transaction,
  businessId: string,
  reservoirIds: string[],
  newest = NEWEST_ROWS,
): Promise<Map<string, LevelRow[]>> {
  const rows = await tx.$queryRaw<LevelRow[]>`
    SELECT level.* FROM unnest(${reservoirIds}::uuid[]) AS asked (id)
    CROSS JOIN LATERAL (
      SELECT l.id, l.reservoir_id AS "reservoirId", l.visit_id AS "visitId", l.measured_on::text AS on,
        l.measured_on - DATE '1970-01-01' AS day, l.level_before::float8 AS before, l.level_after::float8 AS after, l.made_at
      FROM reservoir_level l
      WHERE l.business_id = ${businessId}::uuid AND l.reservoir_id = asked.id
        AND NOT EXISTS (SELECT 1 FROM reservoir_level c WHERE c.business_id = l.business_id AND c.corrects_id = l.id)
      ORDER BY l.measured_on DESC, l.made_at DESC, l.command_id DESC LIMIT ${newest}
    ) level
    ORDER BY level."reservoirId", level.day, level.made_at, level.id`
  const byReservoir = new Map<string, LevelRow[]>(reservoirIds.map((id) => [id, []]))
  for (const row of rows) {
    const levels = byReservoir.get(row.reservoirId) ?? []
    const said = row.visitId === null ? -1 : levels.findIndex(({ visitId }) => visitId === row.visitId)
    const earlier = levels[said]
    if (earlier) levels[said] = { ...row, ...together(earlier, row) }
    else levels.push(row)
  }
  return byReservoir
}

/** Two sayings of one container at one visit as one; the rule is the visit record's. */
function together(earlier: LevelRow, later: LevelRow): { before: number | null; after: number | null } {
  const said = ({ reservoirId, before, after }: LevelRow) => ({ reservoirId, levelBefore: before, levelAfter: after })
  const [newest] = newestLevels([said(earlier), said(later)])
  return { before: newest?.levelBefore ?? null, after: newest?.levelAfter ?? null }
}

/** The same for the science room. */
export const asRecords = (levels: readonly LevelRow[]): LevelRecord[] =>
  levels.map(({ day, before, after }) => ({ day, before, after }))
