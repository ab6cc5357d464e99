import 'server-only'
import { notFound, redirect } from 'next/navigation'
import { getServerSession } from 'next-auth'
import { cache } from 'react'
import { authOptions, type SessionClaims } from '@/lib/platform/auth/options'
import type { Actor } from '../actor'
import { actorOf } from './actor-of'
import { type Action, mayDo } from './role-actions'
import { lookUpLogin } from './sign-in'

export const tankroundAuth = authOptions(lookUpLogin)

/** The session of this request with who it stands for, or null when there is none that still holds. */
export const currentSession = cache(async (): Promise<{ actor: Actor; claims: SessionClaims } | null> => {
  const session = await getServerSession(tankroundAuth)
  const claims = session?.claims
  const actor = claims ? await actorOf(claims) : null
  return claims && actor ? { actor, claims } : null
})

/** Who is signed in, or null. */
export async function currentActor(): Promise<Actor | null> {
  return (await currentSession())?.actor ?? null
}

/**
 * The signed-in actor, who may do this. Not signed in: to the sign-in page. Not theirs: 404, for we do not say that it
 * exists.
 */
export async function requireActor(action: Action): Promise<Actor> {
  const actor = await currentActor()
  if (!actor) redirect('/sign-in')
  if (!mayDo(actor.roles, action)) notFound()
  return actor
}

/** The whole session, for what somebody does with their own sign-in. Not signed in: to the sign-in page. */
export async function requireSession(): Promise<{ actor: Actor; claims: SessionClaims }> {
  const session = await currentSession()
  if (!session) redirect('/sign-in')
  return session
}
