'use client'

import { usePathname } from 'next/navigation'
import { PageLink } from './page-link'

export type NavItem = { href: string; label: string }

/** The entry a path lies under: the longest `href` that equals the path or is one of its parent folders. */
export function currentItem(nav: readonly NavItem[], path: string): NavItem | undefined {
  return nav
    .filter(({ href }) => path === href || path.startsWith(href.endsWith('/') ? href : `${href}/`))
    .sort((a, b) => b.href.length - a.href.length)[0]
}

/** Links of a shell. A layout is not rendered again on the way to the next page, so the path is read here unless it is given. */
export function NavLinks({ nav, currentPath }: { nav: readonly NavItem[]; currentPath?: string | undefined }) {
  const path = usePathname()
  const current = currentItem(nav, currentPath ?? path ?? '')
  return nav.map((item) => (
    <PageLink key={item.href} href={item.href} aria-current={item === current ? 'page' : undefined}>
      {item.label}
    </PageLink>
  ))
}
