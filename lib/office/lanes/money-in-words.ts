import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'

/** Whole units of the business's currency in its own way of writing: the sentences of Work due need no pence. */
export async function moneyInWords(tx: Transaction, businessId: string): Promise<(minor: number) => string> {
  const business = await tx.business.findUnique({ where: { id: businessId }, select: { currency: true, locale: true } })
  const format = new Intl.NumberFormat(business?.locale ?? 'en-GB', {
    style: 'currency',
    currency: business?.currency ?? 'GBP',
    maximumFractionDigits: 0,
  })
  const minorPerUnit =
    10 **
    (new Intl.NumberFormat('en', { style: 'currency', currency: business?.currency ?? 'GBP' }).resolvedOptions()
      .maximumFractionDigits ?? 2)
  return (minor) => format.format(minor / minorPerUnit)
}
