import type { ReactNode } from 'react'
import { PageLink } from '../shell/page-link'

export type ButtonLinkProps = {
  href: string
  /** The one thing most people come to do here. */
  go?: boolean
  /** Full width and taller, for the phone. */
  big?: boolean
  quiet?: boolean
  children: ReactNode
}

/** A link that looks like what it leads to: something to do. */
export function ButtonLink({ href, go = false, big = false, quiet = false, children }: ButtonLinkProps) {
  const classes = ['button', go && 'go', big && 'big', quiet && 'quiet'].filter(Boolean).join(' ')
  return (
    <PageLink className={classes} href={href}>
      {children}
    </PageLink>
  )
}
