import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import type { CommandContext } from '../frame/command'
import { refused } from '../frame/result'
import type { EditDraft } from './schema'

/** The newest change of a document, or the newest by such an act: as a page that shows it remembers it. Null where none is written down. */
export async function newestChange(tx: Transaction, businessId: string, invoiceId: string, action?: 'new-figures') {
  return tx.audit.findFirst({
    where: { businessId, entity: 'invoice', entityId: invoiceId, ...(action && { action }) },
    orderBy: { id: 'desc' },
    select: { id: true, personId: true },
  })
}

/**
 * Two windows on one draft, of two people or of one: whoever saves last is told of the other change before it is written over. `seen`: blank
 * asks nothing.
 */
export async function changedMeanwhile(
  { tx, actor }: CommandContext,
  { invoiceId, seen, changeAccepted }: Pick<EditDraft, 'invoiceId' | 'seen' | 'changeAccepted'>,
) {
  if (!seen || changeAccepted) return null
  const newest = await newestChange(tx, actor.businessId, invoiceId)
  if (!newest || newest.id === seen) return null
  const { businessId } = actor
  const person = newest.personId ? await tx.person.findFirst({ where: { businessId, id: newest.personId } }) : null
  const who = newest.personId === actor.personId ? 'You yourself' : person?.name || 'Somebody else'
  return refused(
    'changed-meanwhile',
    `${who} changed this draft elsewhere while you had it open here. Open it in another tab to read it. Say yes to put yours in its place.`,
  )
}
