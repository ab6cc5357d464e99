import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay } from '../frame/days'
import { minorToDecimalText } from './currency'
import { readOpenInvoices } from './ledger'

const INCLUDE = {
  client: { select: { id: true, name: true, mergedIntoId: true } },
  business: { select: { locale: true } },
  correctedBy: { select: { id: true } },
  allocations: { include: { invoice: { select: { id: true, number: true } } }, orderBy: { id: 'asc' } },
} as const satisfies Prisma.PaymentInclude

/** One payment: what it settles, what it corrects and by what it was corrected; null when this actor sees none by that id. */
export function paymentPage(actor: Actor, paymentId: string) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const row = await tx.payment.findFirst({ where: { businessId, id: paymentId }, include: INCLUDE })
    if (!row) return null
    const keptId = row.client.mergedIntoId ?? row.client.id
    const settles = row.allocations.map(({ invoice, amountMinor }) => ({
      invoiceId: invoice.id,
      number: invoice.number ?? '',
      amountMinor,
      amount: minorToDecimalText(amountMinor, row.currency),
    }))
    const settled = new Set(settles.map(({ invoiceId }) => invoiceId))
    const open = row.correctedBy ? [] : await readOpenInvoices(tx, businessId, [keptId, row.client.id])
    return {
      id: row.id,
      businessId,
      clientId: keptId,
      clientName: row.client.name,
      receivedOn: asDay(row.receivedOn),
      amountMinor: row.amountMinor,
      amount: minorToDecimalText(row.amountMinor, row.currency),
      currency: row.currency,
      locale: row.business.locale,
      method: row.method,
      reference: row.reference,
      settles,
      inHandMinor: row.amountMinor - settles.reduce((sum, { amountMinor }) => sum + amountMinor, 0),
      correctsId: row.correctsId,
      correctedById: row.correctedBy?.id ?? null,
      /** Other invoices that it could settle instead. */
      others: open
        .filter(
          ({ id, outstandingMinor, currency }) => outstandingMinor > 0 && currency === row.currency && !settled.has(id),
        )
        .map(({ id, number }) => ({ invoiceId: id, number })),
    }
  })
}
