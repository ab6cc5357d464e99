import { PageLink } from '../shell/page-link'

export type PaginationProps = {
  /** What is shown, e.g. "Visits 26 to 50 of 118". */
  words?: string
  previousHref?: string
  nextHref?: string
  previousWords?: string
  nextWords?: string
}

/** The way to more of a list, as links. */
export function Pagination(props: PaginationProps) {
  const { words, previousHref, nextHref, previousWords = 'Before', nextWords = 'More' } = props
  if (previousHref === undefined && nextHref === undefined) return null
  return (
    <nav className="pagination" aria-label={words === undefined ? 'Pages' : `Pages: ${words}`}>
      {words !== undefined && <span className="soft">{words}</span>}
      <span className="actions">
        {previousHref !== undefined && (
          <PageLink className="button" href={previousHref} rel="prev">
            {previousWords}
          </PageLink>
        )}
        {nextHref !== undefined && (
          <PageLink className="button" href={nextHref} rel="next">
            {nextWords}
          </PageLink>
        )}
      </span>
    </nav>
  )
}

type PagesProps = {
  /** What is listed: "Documents". */
  of: string
  page: number
  perPage: number
  total: number
  hrefOf: (page: number) => string
}

/** The way through a list whose length is known. */
export function Pages({ of, page, perPage, total, hrefOf }: PagesProps) {
  const first = (page - 1) * perPage + 1
  const last = Math.min(total, page * perPage)
  return (
    <Pagination
      words={`${of} ${first} to ${last} of ${total}`}
      {...(page > 1 ? { previousHref: hrefOf(page - 1) } : {})}
      {...(last < total ? { nextHref: hrefOf(page + 1) } : {})}
    />
  )
}
