import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import type { Actor } from '../frame/actor'

/**
 * How many owners can sign in besides this person or membership. Holds the business's row until the transaction ends, so
 * that two owners cannot send each other away at the same moment.
 */
export async function ownersBesides(
  tx: Transaction,
  { businessId }: Actor,
  except: { personId: string } | { membershipId: string },
): Promise<number> {
  // NO KEY: the command's own row already holds a key share on the business, and so does every other command's.
  await tx.$queryRaw`SELECT id FROM business WHERE id = ${businessId}::uuid FOR NO KEY UPDATE`
  const not = 'personId' in except ? { personId: { not: except.personId } } : { id: { not: except.membershipId } }
  return tx.membership.count({
    where: { businessId, roles: { has: 'owner' }, revokedAt: null, loginId: { not: null }, ...not },
  })
}
