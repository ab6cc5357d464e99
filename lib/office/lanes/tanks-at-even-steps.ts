import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'

/**
 * Ids of at most about `most` tanks that we look after: all of a small business; of a large one tanks at even steps along their
 * ids, which follow the time they came to us, so neither the oldest nor the newest alone.
 */
export async function tanksAtEvenSteps(tx: Transaction, businessId: string, most: number): Promise<string[]> {
  const tanks = await tx.tank.findMany({
    where: { businessId, archivedAt: null, mergedIntoId: null },
    select: { id: true },
    orderBy: { id: 'asc' },
  })
  const step = Math.max(1, tanks.length / most)
  return Array.from({ length: Math.ceil(tanks.length / step) }, (_, i) => tanks[Math.floor(i * step)]?.id ?? '').filter(
    (id) => id !== '',
  )
}
