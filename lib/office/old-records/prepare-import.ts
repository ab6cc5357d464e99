import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import type { Gallon } from '../frame/volumes'
import { type RecordsHere, readExisting } from './existing'
import { planImport } from './plan-import'
import type { ImportFile, ImportPlan } from './plan-types'
import type { ImportOptions, Mapping } from './schema'

export type ImportInput = { files: readonly ImportFile[]; options: ImportOptions; mapping: Mapping }
export type Prepared = {
  plan: ImportPlan
  here: RecordsHere
  business: { timeZone: string; gallon: string | null }
}

const isGallon = (text: string | null): text is Gallon => text === 'us' || text === 'imperial'

/** Plans an import against what is here; the gallon that this business told us before is not asked about again. */
export async function prepareImport(
  tx: Transaction,
  businessId: string,
  { files, options, mapping }: ImportInput,
): Promise<Prepared> {
  const business = await tx.business.findUniqueOrThrow({
    where: { id: businessId },
    select: { timeZone: true, gallon: true },
  })
  const here = await readExisting(tx, businessId)
  const told = isGallon(business.gallon) ? { gallon: business.gallon } : {}
  return { plan: planImport(files, { ...told, ...options }, mapping, here), here, business }
}

/** Two imports of one business wait for each other: each plans against what the other has written. */
export async function waitForOtherImports(tx: Transaction, businessId: string): Promise<void> {
  await tx.$queryRaw`SELECT 1 AS locked FROM pg_advisory_xact_lock(hashtextextended(${`import ${businessId}`}, 0))`
}
