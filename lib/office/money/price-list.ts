import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { asDay } from '../frame/days'
import type { ListedPrice } from './price-at'
import { readTaxCategory } from './tax'
import { storedTaxParts } from './tax-parts'

/** The price list in use; archived entries are left out. */
export async function readPriceList(tx: Transaction, businessId: string): Promise<ListedPrice[]> {
  const rows = await tx.priceItem.findMany({
    where: { businessId, archivedAt: null },
    orderBy: [{ name: 'asc' }, { validFrom: 'desc' }, { id: 'desc' }],
  })
  return rows.map((row) => ({
    id: row.id,
    name: row.name,
    kind: row.kind,
    unit: row.unit,
    unitPrice: row.unitPrice.toFixed(),
    forVisitKind: row.forVisitKind,
    tax: {
      category: readTaxCategory(row.taxCategory),
      ratePercent: row.taxRate.toFixed(),
      exemptionReason: row.taxExemptionReason,
      parts: storedTaxParts(row.taxParts),
    },
    validFrom: asDay(row.validFrom),
  }))
}
