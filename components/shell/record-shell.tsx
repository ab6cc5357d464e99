import type { ReactNode } from 'react'
import { type NavItem, NavLinks } from './nav-links'
import { PageLink } from './page-link'
import { SkipLink } from './skip-link'

export type RecordShellProps = {
  /** The client deals with the business, so its name stands where the program's would. */
  businessName: string
  homeHref?: string
  nav?: readonly NavItem[]
  currentPath?: string
  signOut?: ReactNode
  /** How to reach the business; stands at the foot of every page. */
  contact?: ReactNode
  children: ReactNode
}

/** The client's frame: reads like a letter from the business. */
export function RecordShell(props: RecordShellProps) {
  const { businessName, homeHref = '/record', nav = [], currentPath, signOut, contact, children } = props
  return (
    <>
      <SkipLink />
      <div className="shell shell-record">
        <header className="bar">
          <PageLink href={homeHref} className="bar-brand">
            {businessName}
          </PageLink>
          {nav.length > 0 && (
            <nav className="record-nav" aria-label="Main">
              <NavLinks nav={nav} currentPath={currentPath} />
            </nav>
          )}
          {signOut !== undefined && <div className="record-out">{signOut}</div>}
        </header>
        <main id="main" tabIndex={-1}>
          {children}
        </main>
        {contact !== undefined && <footer className="shell-foot">{contact}</footer>}
      </div>
    </>
  )
}
