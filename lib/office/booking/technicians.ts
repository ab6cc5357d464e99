import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'

export type Technician = { id: string; name: string; dayStart: string; dayEnd: string }

/** Who can be planned, by name. */
export function plannableTechnicians(tx: Transaction, businessId: string): Promise<Technician[]> {
  return tx.person.findMany({
    where: { businessId, isTechnician: true, archivedAt: null, mergedIntoId: null },
    select: { id: true, name: true, dayStart: true, dayEnd: true },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
}
