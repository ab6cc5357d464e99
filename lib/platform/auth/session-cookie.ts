import 'server-only'
import { cookies } from 'next/headers'
import { encode } from 'next-auth/jwt'
import { installationSecret, sessionCookieName, usesHttps } from '@/lib/platform/config/public-address'
import { sessionIdOf } from './session-token'

/**
 * Writes the cookie that names a session: next-auth's own encrypted token with nothing in it but the id of a row. What the
 * session is and whether it still holds stands in the row. Only inside a server action.
 */
export async function writeSession(sessionId: string, maxAgeS: number): Promise<void> {
  const value = await encode({ token: { sessionId }, secret: installationSecret(), maxAge: maxAgeS })
  const jar = await cookies()
  jar.set(sessionCookieName(), value, {
    httpOnly: true,
    sameSite: 'lax',
    path: '/',
    secure: usesHttps(),
    maxAge: maxAgeS,
  })
}

/** The id of the session that this request's cookie names, or null: none, not ours, or past its time. */
export async function readSessionId(): Promise<string | null> {
  const value = (await cookies()).get(sessionCookieName())?.value
  return value ? sessionIdOf(value) : null
}

/** Takes the cookie away from this device. Only inside a server action. */
export async function dropSession(): Promise<void> {
  const jar = await cookies()
  jar.delete({ name: sessionCookieName(), path: '/', secure: usesHttps() })
}
