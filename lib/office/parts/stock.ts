import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'

export type Holding = { partId: string; placeId: string; quantity: number }

/** What lies where: the sum of all moves that no later row corrects. Zero is left out; below zero means that somebody must count. */
export function holdings(
  tx: Transaction,
  businessId: string,
  only: { partIds?: readonly string[]; placeId?: string } = {},
): Promise<Holding[]> {
  const { partIds, placeId } = only
  return tx.$queryRaw<Holding[]>`
    SELECT "partId", "placeId", sum(change)::float AS quantity FROM (
      SELECT move.part_id AS "partId", side.place AS "placeId", side.change FROM stock_move move
      CROSS JOIN LATERAL (VALUES (move.to_place_id, move.quantity), (move.from_place_id, -move.quantity)) side (place, change)
      WHERE move.business_id = ${businessId}::uuid AND side.place IS NOT NULL
        AND (${partIds === undefined} OR move.part_id = ANY (${[...(partIds ?? [])]}::uuid[]))
        AND (${placeId === undefined} OR side.place = ${placeId ?? null}::uuid)
        AND NOT EXISTS (SELECT 1 FROM stock_move later WHERE later.business_id = move.business_id AND later.corrects_id = move.id)
    ) moved GROUP BY "partId", "placeId" HAVING sum(change) <> 0 ORDER BY "partId", "placeId"`
}

/** How much of a part lies in a place. */
export async function holdingOf(
  tx: Transaction,
  businessId: string,
  { partId, placeId }: { partId: string; placeId: string },
): Promise<number> {
  const [one] = await holdings(tx, businessId, { partIds: [partId], placeId })
  return one?.quantity ?? 0
}

export type OpenOrder = {
  id: string
  partId: string
  supplierId: string | null
  /** Still to come. */
  left: number
  quantity: number
  orderedOn: Date
  expectedOn: Date | null
  note: string
}

/** Orders of which something is still to come, the soonest first. */
export async function openOrders(tx: Transaction, businessId: string, partId?: string): Promise<OpenOrder[]> {
  const rows = await tx.partOrder.findMany({
    where: { businessId, closedOn: null, ...(partId ? { partId } : {}) },
    orderBy: [{ expectedOn: { sort: 'asc', nulls: 'last' } }, { orderedOn: 'asc' }, { id: 'asc' }],
  })
  return rows
    .map(({ quantity, receivedQuantity, ...row }) => ({
      ...row,
      quantity: quantity.toNumber(),
      left: quantity.minus(receivedQuantity).toNumber(),
    }))
    .filter(({ left }) => left > 0)
}
