import type { SessionClaims } from './options'

declare module 'next-auth' {
  interface User {
    claims?: SessionClaims
  }
  interface Session {
    claims?: SessionClaims
  }
}

declare module 'next-auth/jwt' {
  interface JWT {
    claims?: SessionClaims
  }
}
