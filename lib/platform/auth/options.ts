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

/** How long a sign-in lasts without being used, in seconds: fourteen days. */
export const SESSION_MAX_AGE_S = 14 * 24 * 60 * 60

/** Whether people reach us over HTTPS, by the address the operator gave; decides the cookie's `Secure`. */
export function usesHttps(): boolean {
  return process.env.NEXTAUTH_URL?.startsWith('https://') ?? false
}

/** Name of the session cookie; the prefix makes browsers refuse it over plain HTTP. */
export function sessionCookieName(): string {
  return `${usesHttps() ? '__Secure-' : ''}next-auth.session-token`
}

/**
 * The address a request came from, out of `X-Forwarded-For`: the last entry, for that is the one the nearest proxy (or
 * our own server) wrote itself; earlier ones are whatever the caller claims.
 */
export function addressFrom(forwardedFor: string | null | undefined): string {
  return forwardedFor?.split(',').at(-1)?.trim() ?? ''
}

/** next-auth with a password and a signed cookie. Errors: `lookUp`'s own. */
export function authOptions(lookUp: LookUpLogin): NextAuthOptions {
  return {
    session: { strategy: 'jwt', maxAge: SESSION_MAX_AGE_S },
    useSecureCookies: usesHttps(),
    pages: { signIn: '/sign-in', error: '/sign-in' },
    providers: [
      Credentials({
        name: 'Password',
        credentials: { email: { type: 'email' }, password: { type: 'password' } },
        async authorize(credentials, request) {
          const forwarded: unknown = request?.headers?.['x-forwarded-for']
          const claims = await lookUp({
            email: credentials?.email ?? '',
            password: credentials?.password ?? '',
            address: addressFrom(typeof forwarded === 'string' ? forwarded : null),
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
