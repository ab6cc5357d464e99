import { asDay } from '../frame/days'
import { type PaymentStanding, paymentStanding } from './payment-state'
import { creditsOf, paymentsOf, type StoredInvoice } from './stored-document'

/** How a stored invoice stands on a day. */
export function standingOf(
  row: Pick<StoredInvoice, 'grossMinor' | 'dueOn' | 'creditNotes' | 'allocations'>,
  today: string,
): PaymentStanding {
  const creditedMinor = creditsOf(row).reduce((sum, { amountMinor }) => sum + amountMinor, 0)
  return paymentStanding({ grossMinor: row.grossMinor, creditedMinor, dueOn: asDay(row.dueOn) }, paymentsOf(row), today)
}
