import { rebuildDerived } from '@/lib/office/lanes/rebuild'
import { closeDatabase } from '@/lib/platform/db/client'
import { asIdentity } from '@/lib/platform/db/scope'

/** Acts for no person. */
const NOBODY = '00000000-0000-0000-0000-000000000000'

/**
 * Makes lanes, work due and repeat faults again at every business where a migration dropped them. One that was cut off is made at the next
 * start: the mark falls in the transaction that writes them.
 */
export async function rebuildMissing(log: (line: string) => void): Promise<void> {
  try {
    const missing = await asIdentity((tx) =>
      tx.business.findMany({
        where: { derivedMissing: true },
        select: { id: true, name: true },
        orderBy: { id: 'asc' },
      }),
    )
    for (const { id, name } of missing) {
      log(`Working out again what is due at ${name} …`)
      await rebuildDerived({ businessId: id, personId: NOBODY })
    }
  } finally {
    await closeDatabase()
  }
}
