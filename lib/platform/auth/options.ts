import 'server-only'
import type { NextAuthOptions } from 'next-auth'
import Credentials from 'next-auth/providers/credentials'

/** What the session cookie carries: one membership and the login's session version, re-read at every request. */
export type SessionClaims = { loginId: string; membershipId: string; businessId: string; sessionVersion: number }

/** Looks a login up; injected, so that this room knows nothing of people. Null = refused; an Error's message is shown. */
export type LookUpLogin = (credentials: {
  email: string
  password: string
  address: string
}) => Promise<SessionClaims | null>

const FOURTEEN_DAYS_S = 14 * 24 * 60 * 60

/** next-auth with a password and a signed cookie. Errors: `lookUp`'s own. */
export function authOptions(lookUp: LookUpLogin): NextAuthOptions {
  return {
    session: { strategy: 'jwt', maxAge: FOURTEEN_DAYS_S },
    pages: { signIn: '/sign-in', error: '/sign-in' },
    providers: [
      Credentials({
        name: 'Password',
        credentials: { email: { type: 'email' }, password: { type: 'password' } },
        async authorize(credentials, request) {
          const forwarded: unknown = request?.headers?.['x-forwarded-for']
          const address = typeof forwarded === 'string' ? (forwarded.split(',')[0] ?? '').trim() : ''
          const claims = await lookUp({
            email: credentials?.email ?? '',
            password: credentials?.password ?? '',
            address,
          })
          return claims ? { id: claims.loginId, claims } : null
        },
      }),
    ],
    callbacks: {
      jwt({ token, user }) {
        if (user?.claims) token.claims = user.claims
        return token
      },
      session({ session, token }) {
        return { ...session, claims: token.claims }
      },
    },
  }
}
