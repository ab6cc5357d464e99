import type { ServerResponse } from 'node:http'

/**
 * What every answer says that says nothing else about it: pages bring their own policy with a nonce (`proxy.ts`), photos
 * theirs. Files of the program, refusals and answers for machines need nothing from elsewhere and are framed by nobody.
 */
const ALWAYS = {
  'content-security-policy':
    "default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'DENY',
  // Not `no-referrer`: a posted form would then carry no origin, by which server actions know their own pages.
  'referrer-policy': 'same-origin',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'permissions-policy': 'camera=(self), geolocation=(self), microphone=(), payment=(), usb=()',
  // Whatever may be kept says so itself: the built files, which are the same for everybody.
  'cache-control': 'private, no-store',
} as const

const YEAR_S = 31_536_000

/**
 * Adds, in the moment in which the head of an answer is sent, what is not in it yet. An answer that takes the session
 * cookie away also tells the browser to forget what it kept of the pages; not its storage, where unsent work waits.
 */
export function addSecurityHeaders(response: ServerResponse, site: { isHttps: boolean; sessionCookie: string }): void {
  const defaults: Record<string, string> = site.isHttps
    ? { ...ALWAYS, 'strict-transport-security': `max-age=${YEAR_S}` }
    : ALWAYS
  // Node declares several shapes of this function; all of them pass through here as they are.
  const send = response.writeHead.bind(response) as (...head: unknown[]) => ServerResponse
  response.writeHead = ((...head: unknown[]) => {
    for (const [name, value] of Object.entries(defaults)) if (!response.hasHeader(name)) response.setHeader(name, value)
    if (dropsCookie(response, site.sessionCookie)) response.setHeader('clear-site-data', '"cache", "cookies"')
    return send(...head)
  }) as typeof response.writeHead
}

function dropsCookie(response: ServerResponse, name: string): boolean {
  const cookies = [response.getHeader('set-cookie') ?? []].flat().map(String)
  return cookies.some((cookie) => cookie.startsWith(`${name}=;`))
}
