import 'server-only'
import { inScope, type Scope, type Transaction, type TransactionLimits } from '@/lib/platform/db/scope'
import type { Role } from './role-actions'

/** Who acts: one person through one membership of one business. */
export type Actor = {
  businessId: string
  personId: string
  membershipId: string
  roles: readonly Role[]
  /** Set for people of a client: the only client whose rows they see. */
  clientId?: string
  name: string
}

/** The database scope of an actor: people of a client see that client, everyone else the business. */
function scopeOf(actor: Actor): Scope {
  const { businessId, personId, clientId } = actor
  const worksHere = actor.roles.some((role) => role !== 'client')
  if (worksHere) return { role: 'office', businessId, personId }
  if (!clientId) throw new Error(`membership ${actor.membershipId} is a client's but names no client`)
  return { role: 'client', businessId, personId, clientId }
}

/** One transaction as this actor: every query function and every command is exactly one. */
export function inBusiness<T>(
  actor: Actor,
  work: (tx: Transaction) => Promise<T>,
  limits?: TransactionLimits,
): Promise<T> {
  return inScope(scopeOf(actor), work, limits)
}
