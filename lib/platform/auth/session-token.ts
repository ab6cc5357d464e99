import 'server-only'
import { decode } from 'next-auth/jwt'
import { z } from 'zod'
import { installationSecret } from '@/lib/platform/config/public-address'

const tokenSchema = z.object({ sessionId: z.uuid() })

/** The session id inside a cookie's value, or null where it was not signed here or has run out. */
export async function sessionIdOf(value: string): Promise<string | null> {
  // The library throws for whatever it cannot decrypt or finds expired.
  const token = await decode({ token: value, secret: installationSecret() }).catch(() => null)
  const parsed = tokenSchema.safeParse(token)
  return parsed.success ? parsed.data.sessionId : null
}
