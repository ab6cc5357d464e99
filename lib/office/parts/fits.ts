import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'

/** Which part a piece of work uses: on every device of a class, or on one. */
export type Fit = {
  id: string
  partId: string
  equipmentClass: string
  equipmentId: string | null
  careTask: string
  quantity: number
}

/** All that the business says of which work uses what. */
export async function readFits(tx: Transaction, businessId: string): Promise<Fit[]> {
  const rows = await tx.partFit.findMany({
    where: { businessId, part: { archivedAt: null } },
    select: { id: true, partId: true, equipmentClass: true, equipmentId: true, careTask: true, quantity: true },
    orderBy: [{ careTask: 'asc' }, { createdAt: 'asc' }, { id: 'asc' }],
  })
  return rows.map((row) => ({ ...row, quantity: row.quantity.toNumber() }))
}

/** What a piece of work on a device uses: what is said of this device, else of its class. Pure. */
export function fitsOf(fits: readonly Fit[], device: { equipmentId: string; careTask: string }): Fit[] {
  const ofTask = fits.filter(({ careTask }) => careTask === device.careTask)
  const own = ofTask.filter(({ equipmentId }) => equipmentId === device.equipmentId)
  return own.length > 0 ? own : ofTask.filter(({ equipmentId }) => equipmentId === null)
}
