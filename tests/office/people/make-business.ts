import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import type { Role } from '@/lib/office/frame/role-actions'
import { hashPassword } from '@/lib/platform/auth/password'
import { asIdentity, inScope } from '@/lib/platform/db/scope'

export const PASSWORD = 'correct horse battery'

/** A business with one owner who can sign in; the actor is that owner. */
export async function makeBusiness(email: string): Promise<Actor> {
  const businessId = newId()
  const personId = newId()
  await inScope({ role: 'office', businessId, personId }, (tx) =>
    tx.business.create({ data: { id: businessId, name: `Business of ${email}` } }),
  )
  return addSignIn({ businessId, email, roles: ['owner'] })
}

/** Another person of a business with a sign-in; an e-mail that has a login already joins it. */
export async function addSignIn(input: {
  businessId: string
  email: string
  roles: Role[]
  clientId?: string
}): Promise<Actor> {
  const { businessId, email, roles, clientId } = input
  const passwordHash = await hashPassword(PASSWORD)
  const login = await asIdentity((tx) =>
    tx.login.upsert({ where: { email }, create: { id: newId(), email, passwordHash }, update: {} }),
  )
  const personId = newId()
  const membershipId = newId()
  await inScope({ role: 'office', businessId, personId }, async (tx) => {
    await tx.person.create({ data: { businessId, id: personId, name: email } })
    await tx.membership.create({
      data: { businessId, id: membershipId, personId, loginId: login.id, roles, clientId: clientId ?? null },
    })
  })
  return { businessId, personId, membershipId, roles, name: email, ...(clientId ? { clientId } : {}) }
}

/** The ids that every form carries. */
export function envelope(actor: Actor): { commandId: string; businessId: string } {
  return { commandId: newId(), businessId: actor.businessId }
}
