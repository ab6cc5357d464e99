/** Any base: only whether a path leaves it matters. */
const HERE = 'http://here.invalid'

/**
 * Where to go on after signing in: a path of this site, or `/`. Whatever a browser would read as another site is not one:
 * `//elsewhere`, `/\elsewhere`, another scheme, and a path with control characters, which browsers leave out. Nor are the
 * pages of the entry, which would lead round in a circle.
 */
export function safeBackPath(wanted: unknown): string {
  if (typeof wanted !== 'string' || wanted.length > 2000) return '/'
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is refused
  if (!/^\/(?![/\\])/.test(wanted) || /[\u0000-\u001f\u007f\\]/.test(wanted)) return '/'
  if (!URL.canParse(wanted, HERE)) return '/'
  const url = new URL(wanted, HERE)
  if (url.origin !== HERE || /^\/\//.test(url.pathname)) return '/'
  if (/^\/(?:sign-in|first-run|invitation|reset|api)(?:\/|$)/.test(url.pathname)) return '/'
  return `${url.pathname}${url.search}`
}

/** The sign-in page that leads back to where somebody was. */
export function signInPath(from: string): string {
  const back = safeBackPath(from)
  return back === '/' ? '/sign-in' : `/sign-in?back=${encodeURIComponent(back)}`
}
