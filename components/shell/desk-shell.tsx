import type { ReactNode } from 'react'
import { type NavItem, NavLinks } from './nav-links'
import { PageLink } from './page-link'
import { PhoneMenu } from './phone-menu'
import { SkipLink } from './skip-link'

export type DeskShellProps = {
  businessName: string
  personName: string
  nav: readonly NavItem[]
  /** Left out in a layout: the links then read the path themselves. */
  currentPath?: string
  /** The form or button that signs out. */
  signOut: ReactNode
  children: ReactNode
}

/** The owner's frame: one bar of words, which folds into a menu on a phone. Holds the page's only `<main>`. */
export function DeskShell({ businessName, personName, nav, currentPath, signOut, children }: DeskShellProps) {
  return (
    <>
      <SkipLink />
      <div className="shell">
        <header className="bar">
          <PageLink href={nav[0]?.href ?? '/'} className="bar-brand">
            Tankround
          </PageLink>
          <nav className="bar-nav" aria-label="Main">
            <NavLinks nav={nav} currentPath={currentPath} />
          </nav>
          <div className="bar-who">
            <div>{businessName}</div>
            <div className="bar-who-line">
              <span>{personName}</span> {signOut}
            </div>
          </div>
          <PhoneMenu>
            <nav aria-label="Main menu">
              <NavLinks nav={nav} currentPath={currentPath} />
            </nav>
            <div className="bar-menu-who">
              <span>
                {personName}, {businessName}
              </span>
              {signOut}
            </div>
          </PhoneMenu>
        </header>
        <main id="main" tabIndex={-1}>
          {children}
        </main>
      </div>
    </>
  )
}
