import { type NextRequest, NextResponse } from 'next/server'

const DEVELOPMENT = process.env.NODE_ENV === 'development'

/**
 * Before every page: a number for the request, and a policy that runs only scripts this server marked for this one
 * answer. Styles may stand in attributes (charts place their marks so); everything comes from here.
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

  const response = NextResponse.next({ request: { headers } })
  response.headers.set('content-security-policy', policy)
  response.headers.set('x-request-id', requestId)
  response.headers.set('x-content-type-options', 'nosniff')
  response.headers.set('x-frame-options', 'DENY')
  // Not `no-referrer`: a posted form would then carry no origin, by which server actions know their own pages.
  response.headers.set('referrer-policy', 'same-origin')
  response.headers.set('cross-origin-opener-policy', 'same-origin')
  response.headers.set('cross-origin-resource-policy', 'same-origin')
  response.headers.set('permissions-policy', 'camera=(self), geolocation=(self), microphone=(), payment=(), usb=()')
  if (process.env.NEXTAUTH_URL?.startsWith('https://'))
    response.headers.set('strict-transport-security', 'max-age=31536000')
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
    "base-uri 'self'",
    "form-action 'self'",
    "frame-ancestors 'none'",
  ].join('; ')
}

// Built files and the service worker stay out: they are the same for everybody and are kept by browsers.
export const config = { matcher: ['/((?!_next/static|_next/image|sw\\.js|favicon\\.ico|fonts/|icons/).*)'] }
