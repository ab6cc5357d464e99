import { type NextRequest, NextResponse } from 'next/server'

const DEVELOPMENT = process.env.NODE_ENV === 'development'

/**
 * Before every page: a number for the request, its path for whoever must sign in first and come back, and a policy that
 * runs only scripts this server marked for this one answer. Styles may stand in attributes (charts place their marks so);
 * everything comes from here. What every answer needs, pages or not, the server in front adds.
 */
export function proxy(request: NextRequest): NextResponse {
  const nonce = Buffer.from(crypto.getRandomValues(new Uint8Array(16))).toString('base64')
  const requestId = crypto.randomUUID()
  const policy = contentSecurityPolicy(nonce)

  // Next reads the nonce for its own scripts from the policy in the request.
  const headers = new Headers(request.headers)
  headers.set('content-security-policy', policy)
  headers.set('x-nonce', nonce)
  headers.set('x-request-id', requestId)
  headers.set('x-tankround-path', `${request.nextUrl.pathname}${request.nextUrl.search}`)

  const response = NextResponse.next({ request: { headers } })
  response.headers.set('content-security-policy', policy)
  response.headers.set('x-request-id', requestId)
  return response
}

function contentSecurityPolicy(nonce: string): string {
  return [
    "default-src 'self'",
    `script-src 'self' 'nonce-${nonce}' 'strict-dynamic'${DEVELOPMENT ? " 'unsafe-eval'" : ''}`,
    "style-src 'self' 'unsafe-inline'",
    "img-src 'self' blob: data:",
    "font-src 'self'",
    `connect-src 'self'${DEVELOPMENT ? ' ws:' : ''}`,
    "worker-src 'self'",
    "manifest-src 'self'",
    "object-src 'none'",
    "base-uri 'none'",
    "form-action 'self'",
    "frame-ancestors 'none'",
  ].join('; ')
}

// Built files and the service worker stay out: they are the same for everybody and are kept by browsers. So does what is
// for machines: files come in there, and what passes here is copied in memory first.
export const config = { matcher: ['/((?!_next/static|_next/image|api/|sw\\.js|favicon\\.ico|fonts/|icons/).*)'] }
