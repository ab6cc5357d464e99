import 'server-only'
import { notFound, redirect } from 'next/navigation'
import { cache } from 'react'
import { dropSession, readSessionId, writeSession } from '@/lib/platform/auth/session-cookie'
import { currentPath, currentVisitor } from '@/lib/platform/auth/visitor'
import { asIdentity } from '@/lib/platform/db/scope'
import type { Actor } from '../frame/actor'
import { NOT_YOURS, SIGNED_OUT } from '../frame/result'
import { type Action, mayDo } from '../frame/role-actions'
import type { Proven } from './actor-of'
import { signInPath } from './back-path'
import { keepEvent } from './entry-events'
import { endSession, openSession, readSession, SESSION_LIFE_S, type Session } from './sessions'

/** The session of this request with who it stands for, or null when there is none that still holds. */
export const currentSession = cache(async (): Promise<{ actor: Actor; session: Session } | null> => {
  const sessionId = await readSessionId()
  return sessionId ? readSession(sessionId, new Date()) : null
})

/** Who is signed in, or null. */
export async function currentActor(): Promise<Actor | null> {
  return (await currentSession())?.actor ?? null
}

/**
 * For a page: the signed-in actor, who may do this. Not signed in: to the sign-in page, and from there back here. Not
 * theirs: 404, for we do not say that it exists.
 */
export async function requireActor(action: Action): Promise<Actor> {
  const { actor } = await requireSession()
  if (mayDo(actor.roles, action)) return actor
  await keepRefusal(actor, action)
  notFound()
}

/** The same for what a form sends: an answer instead of another page, for a redirect would take what was typed with it. */
export async function actorToAct(
  action: Action,
): Promise<{ ok: true; actor: Actor } | typeof SIGNED_OUT | typeof NOT_YOURS> {
  const actor = await currentActor()
  if (!actor) return SIGNED_OUT
  if (mayDo(actor.roles, action)) return { ok: true, actor }
  await keepRefusal(actor, action)
  return NOT_YOURS
}

/** The whole session, for what somebody does with their own sign-in. Not signed in: to the sign-in page and back. */
export async function requireSession(): Promise<{ actor: Actor; session: Session }> {
  const found = await currentSession()
  if (!found) redirect(signInPath(await currentPath()))
  return found
}

/**
 * Signs somebody in on this device, who has just proved who they are on a page of ours; false where that no longer holds.
 * Only inside a server action.
 */
export async function signInHere(proven: Proven): Promise<boolean> {
  const sessionId = await openSession(proven, await currentVisitor(), new Date())
  if (sessionId === null) return false
  const before = await currentSession()
  if (before) await endSession(before.session, before.session.sessionId, new Date())
  await writeSession(sessionId, SESSION_LIFE_S)
  return true
}

/** Signs out on this device: the session ends, also for whoever kept its cookie. Only inside a server action. */
export async function signOutHere(): Promise<void> {
  const found = await currentSession()
  if (found) await endSession(found.session, found.session.sessionId, new Date())
  await dropSession()
}

/** Leaves a trace of somebody who asked for what is not theirs. */
function keepRefusal({ businessId, membershipId }: Actor, about: Action): Promise<void> {
  return asIdentity((tx) => keepEvent(tx, { kind: 'refused', businessId, membershipId, about }))
}
