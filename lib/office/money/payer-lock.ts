import 'server-only'
import type { CommandContext } from '../frame/command'
import { amountInWords } from './projection'

/** Who pays, with every duplicate that was merged into it: one account. */
export type Payer = {
  clientId: string
  family: string[]
  currency: string
  timeZone: string
  /** "2.00 GBP" as the business writes it. */
  say: (amountMinor: number, currency: string) => string
}

/** Makes everybody else who writes in this client's account wait until the transaction ends. Null when there is no such client. */
export async function lockPayer({ tx, actor }: CommandContext, clientId: string): Promise<Payer | null> {
  const { businessId } = actor
  const found = await tx.client.findFirst({
    where: { businessId, id: clientId },
    select: { id: true, mergedIntoId: true, business: { select: { currency: true, timeZone: true, locale: true } } },
  })
  if (!found) return null
  const keptId = found.mergedIntoId ?? found.id
  await tx.$queryRaw`SELECT pg_advisory_xact_lock(hashtextextended(${`account ${businessId} ${keptId}`}, 0))::text`
  const merged = await tx.client.findMany({ where: { businessId, mergedIntoId: keptId }, select: { id: true } })
  const { currency, timeZone, locale } = found.business
  return {
    clientId: keptId,
    family: [keptId, ...merged.map(({ id }) => id)],
    currency,
    timeZone,
    say: (minor, of) => `${amountInWords(minor, of, locale)} ${of}`,
  }
}

/** The payer of an invoice, locked; null when there is no such invoice. */
export async function payerOfInvoice(context: CommandContext, invoiceId: string): Promise<Payer | null> {
  const { tx, actor } = context
  const invoice = await tx.invoice.findFirst({
    where: { businessId: actor.businessId, id: invoiceId },
    select: { clientId: true },
  })
  return invoice && lockPayer(context, invoice.clientId)
}
