import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { touchLanes } from '../due/commands'
import type { Pair } from './record'

/** The one place where a visit says which lanes it touched, inside its transaction: what follows from them is made again. */
export function lanesTouched(tx: Transaction, businessId: string, pairs: readonly Pair[]): Promise<void> {
  return touchLanes(
    tx,
    businessId,
    pairs.map(({ equipmentId }) => equipmentId),
  )
}
