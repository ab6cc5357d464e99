/** Whether a request was made by a page of ours: browsers say where it comes from, and programs that say nothing may pass. */
export function isFromHere({ headers }: { headers: { get: (name: string) => string | null } }): boolean {
  const site = headers.get('sec-fetch-site')
  if (site !== null && site !== 'same-origin' && site !== 'none') return false
  const origin = headers.get('origin')
  if (origin === null) return true
  const host = headers.get('x-forwarded-host') ?? headers.get('host')
  // `null` is what a sandboxed page and a redirected form send: no address, so not ours.
  return URL.canParse(origin) && new URL(origin).host === host
}
