import 'server-only'
import type { CommandContext } from '../frame/command'
import { readOpenInvoices } from './ledger'
import type { Payer } from './payer-lock'

/** Where a client's money can go back that no payment has in hand: the invoices paid or credited beyond what they say, in words; blank where there are none. */
export async function refundElsewhere({ tx, actor }: CommandContext, payer: Payer, currency: string): Promise<string> {
  const open = await readOpenInvoices(tx, actor.businessId, payer.family)
  const over = open.filter((invoice) => invoice.currency === currency && invoice.outstandingMinor < 0)
  if (over.length === 0) return ''
  const named = over.map(
    ({ number, outstandingMinor }) => `${number} (overpaid by ${payer.say(-outstandingMinor, currency)})`,
  )
  return ` Refund it on ${named.join(' or ')}.`
}
