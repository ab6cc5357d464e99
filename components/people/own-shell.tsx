import type { ReactNode } from 'react'
import { DeskShell, FieldShell, type NavItem, RecordShell } from '@/components/shell'

type Props = {
  home: '/today' | '/route' | '/our-tanks' | '/books'
  businessName: string
  personName: string
  nav: readonly NavItem[]
  signOut: ReactNode
  children: ReactNode
}

/** The frame somebody knows from their own first screen, around a page that all four people have. */
export function OwnShell({ home, businessName, personName, nav, signOut, children }: Props) {
  if (home === '/route')
    return (
      <FieldShell title={personName} homeHref={home} nav={nav.slice(0, 4)}>
        {children}
      </FieldShell>
    )
  if (home === '/our-tanks')
    return (
      <RecordShell businessName={businessName} homeHref={home} nav={nav} signOut={signOut}>
        {children}
      </RecordShell>
    )
  return (
    <DeskShell businessName={businessName} personName={personName} nav={nav} signOut={signOut}>
      {children}
    </DeskShell>
  )
}
