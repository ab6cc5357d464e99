import Link from 'next/link'
import type { ComponentProps } from 'react'

/**
 * A link inside the program. Nothing is fetched before it is asked for: a table of a hundred rows must not cause a hundred requests.
 * Pages that have to work without signal use a plain `<a>` instead, because only full navigations pass through the service worker.
 */
export function PageLink(props: ComponentProps<typeof Link>) {
  return <Link prefetch={false} {...props} />
}
