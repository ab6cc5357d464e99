import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import type { CommandContext } from '../frame/command'
import { refused } from '../frame/result'
import type { EditDraft } from './schema'

/** The newest change of a document, as a page that shows it remembers it: an id, blank where none is written down. */
export async function newestChange(tx: Transaction, businessId: string, invoiceId: string) {
  return tx.audit.findFirst({
    where: { businessId, entity: 'invoice', entityId: invoiceId },
    orderBy: { id: 'desc' },
    select: { id: true, personId: true },
  })
}

/** Two people on one draft: whoever saves last is told of the other's change before it is written over. `seen`: blank asks nothing. */
export async function changedMeanwhile(
  { tx, actor }: CommandContext,
  { invoiceId, seen, changeAccepted }: Pick<EditDraft, 'invoiceId' | 'seen' | 'changeAccepted'>,
) {
  if (!seen || changeAccepted) return null
  const newest = await newestChange(tx, actor.businessId, invoiceId)
  if (!newest || newest.id === seen || newest.personId === actor.personId) return null
  const { businessId } = actor
  const person = newest.personId ? await tx.person.findFirst({ where: { businessId, id: newest.personId } }) : null
  return refused(
    'changed-meanwhile',
    `${person?.name || 'Somebody else'} changed this draft while you had it open. Open it in another tab to read it. Say yes to put yours in its place.`,
  )
}
