import 'server-only'
import { cookies } from 'next/headers'
import { encode } from 'next-auth/jwt'
import { SESSION_MAX_AGE_S, type SessionClaims, sessionCookieName, usesHttps } from './options'

/**
 * Signs a person in on this device: next-auth's own token in next-auth's own cookie. Used where somebody has just proved
 * who they are on a page of ours (sign-in, an invitation, choosing another business). Only inside a server action.
 * Errors: Error when NEXTAUTH_SECRET is not set.
 */
export async function writeSession(claims: SessionClaims): Promise<void> {
  const secret = process.env.NEXTAUTH_SECRET
  if (!secret) throw new Error('NEXTAUTH_SECRET is not set: start with `npm start`, which makes it')
  const value = await encode({ token: { sub: claims.loginId, claims }, secret, maxAge: SESSION_MAX_AGE_S })
  const jar = await cookies()
  jar.set(sessionCookieName(), value, {
    httpOnly: true,
    sameSite: 'lax',
    path: '/',
    secure: usesHttps(),
    maxAge: SESSION_MAX_AGE_S,
  })
}

/** Signs out on this device. Only inside a server action. */
export async function dropSession(): Promise<void> {
  const jar = await cookies()
  jar.delete({ name: sessionCookieName(), path: '/', secure: usesHttps() })
}
