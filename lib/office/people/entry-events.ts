import 'server-only'
import { newId } from '@/lib/new-id'
import { keyedHash } from '@/lib/platform/auth/keyed-hash'
import type { Transaction } from '@/lib/platform/db/scope'
import { log } from '@/lib/platform/logging/log'

/** What can happen at the door. */
export type EntryKind =
  | 'signed-in'
  | 'sign-in-failed'
  | 'sign-in-delayed'
  | 'signed-out'
  | 'session-ended'
  | 'sessions-ended'
  | 'business-switched'
  | 'password-changed'
  | 'password-reset'
  | 'reset-link-made'
  | 'invitation-accepted'
  | 'link-refused'
  | 'business-begun'
  | 'refused'

export type EntryEvent = {
  kind: EntryKind
  loginId?: string | undefined
  businessId?: string | undefined
  membershipId?: string | undefined
  sessionId?: string | undefined
  /** The network address; only a keyed hash of it is kept. */
  address?: string | undefined
  /** A few words more, never a secret or an address: the action refused, the purpose of a link, an account's hash. */
  about?: string | undefined
}

/** Keeps what happened as a row that nobody changes; the transaction must be the identity's. Says it in the log too. */
export async function keepEvent(tx: Transaction, event: EntryEvent): Promise<void> {
  const { address = '', about = '' } = event
  const addressHash = keyedHash('address', address)
  await tx.entryEvent.create({ data: { id: newId(), addressHash, about, ...kindAndIds(event) } })
  sayEvent(event)
}

/** Says in the log alone what may come in any number and must not fill the database: tries that were not even looked at. */
export function sayEvent(event: EntryEvent): void {
  const { address = '', about } = event
  const from = keyedHash('address', address)
  log.info({ ...kindAndIds(event), ...(about && { about }), ...(from && { from }) }, `at the door: ${event.kind}`)
}

/** Picked one by one: who comes in carries more than may be written down. */
function kindAndIds({ kind, loginId, businessId, membershipId, sessionId }: EntryEvent) {
  return {
    kind,
    ...(loginId && { loginId }),
    ...(businessId && { businessId }),
    ...(membershipId && { membershipId }),
    ...(sessionId && { sessionId }),
  }
}
