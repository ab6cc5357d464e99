import type { Transaction } from '@/lib/platform/db/scope'
import { touchLanes } from '../due/commands'
import type { Pair } from './record'

/**
 * The one place where a visit says which lanes it touched, inside its transaction: whatever follows from lanes is
 * recomputed from here.
 */
export async function lanesTouched(tx: Transaction, businessId: string, pairs: readonly Pair[]): Promise<void> {
  await touchLanes(
    tx,
    businessId,
    pairs.map((pair) => pair.equipmentId),
  )
}
