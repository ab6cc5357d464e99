import type { ReactNode } from 'react'
import { PageLink } from '../shell/page-link'

export type WhyProps = {
  /** The sentence in plain words. */
  children: ReactNode
  /** The visits behind it, or the page that explains it. */
  href?: string
  hrefWords?: string
  /** More that opens in place, e.g. the visits as a list. */
  details?: ReactNode
  detailsWords?: string
  /** What opens in place is open from the start: somebody asked for more of it. */
  isOpen?: boolean
  /** `quiet`: an explanation nobody has to act on. */
  tone?: 'quiet'
}

/** Why a date, rank or price is what it is: a sentence, and a way to what lies behind it. */
export function Why({
  children,
  href,
  hrefWords = 'Why?',
  details,
  detailsWords = 'Why?',
  isOpen = false,
  tone,
}: WhyProps) {
  return (
    <div className="why" data-tone={tone}>
      <div>
        {children}{' '}
        {href !== undefined && (
          <PageLink className="why-link" href={href}>
            {hrefWords}
          </PageLink>
        )}
      </div>
      {details !== undefined && (
        <details open={isOpen || undefined}>
          <summary>{detailsWords}</summary>
          {details}
        </details>
      )}
    </div>
  )
}
