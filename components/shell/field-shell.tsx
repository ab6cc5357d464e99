import type { ReactNode } from 'react'
import { currentItem, type NavItem } from './nav-links'
import { SkipLink } from './skip-link'

export type FieldShellProps = {
  /** Where one is, in a word or two: the person's name, or the day. */
  title: string
  /** Where the title leads, usually to the day's round. */
  homeHref?: string
  /** What is not yet sent, signal, or nothing to say. */
  status?: ReactNode
  /** At most four ways on, at the bottom within reach of the thumb. */
  nav?: readonly NavItem[]
  currentPath?: string
  children: ReactNode
}

/**
 * The technician's frame, for one hand and wet fingers. Its links are plain: every step is a full navigation, which the
 * service worker can answer without signal. Usable from client components too.
 */
export function FieldShell({ title, homeHref = '/field', status, nav = [], currentPath, children }: FieldShellProps) {
  const current = currentPath === undefined ? undefined : currentItem(nav, currentPath)
  return (
    <>
      <SkipLink />
      <div className="shell shell-field">
        <header className="bar">
          <a href={homeHref} className="bar-brand">
            {title}
          </a>
          {status !== undefined && (
            <div className="bar-status" role="status">
              {status}
            </div>
          )}
        </header>
        <main id="main" tabIndex={-1}>
          {children}
        </main>
      </div>
      {nav.length > 0 && (
        <nav className="foot-nav" aria-label="Main">
          {nav.map((item) => (
            <a key={item.href} href={item.href} aria-current={item === current ? 'page' : undefined}>
              {item.label}
            </a>
          ))}
        </nav>
      )}
    </>
  )
}
