import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'

export type Holding = { partId: string; placeId: string; quantity: number }

/**
 * What lies where: the sum of all moves that no later row corrects, as the database keeps it (see `rebuildStock`). Zero is left out;
 * below zero means that somebody must count.
 */
export async function holdings(
  tx: Transaction,
  businessId: string,
  only: { partIds?: readonly string[]; placeId?: string } = {},
): Promise<Holding[]> {
  const { partIds, placeId } = only
  const rows = await tx.stockOnHand.findMany({
    where: {
      ...{ businessId, quantity: { not: 0 } },
      ...(partIds ? { partId: { in: [...partIds] } } : {}),
      ...(placeId ? { placeId } : {}),
    },
    select: { partId: true, placeId: true, quantity: true },
    orderBy: [{ partId: 'asc' }, { placeId: 'asc' }],
  })
  return rows.map((row) => ({ ...row, quantity: row.quantity.toNumber() }))
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
