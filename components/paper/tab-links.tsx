import type { ReactNode } from 'react'
import { PageLink } from '../shell/page-link'

export type TabLink = { href: string; label: ReactNode; current?: boolean; count?: number }

/** Views of one thing, each with its own address. Links, not ARIA tabs: each leads to a page. */
export function TabLinks({ label, items }: { label: string; items: readonly TabLink[] }) {
  return (
    <nav className="tab-links" aria-label={label}>
      {items.map((item) => (
        <PageLink key={item.href} href={item.href} aria-current={item.current ? 'page' : undefined}>
          {item.label}
          {item.count !== undefined && <span className="soft small">{item.count}</span>}
        </PageLink>
      ))}
    </nav>
  )
}
