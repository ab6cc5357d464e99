import type { ReactNode } from 'react'
import { PageLink } from '../shell/page-link'

export type FilterFormProps = {
  /** The list's own address; the fields become its query. */
  action: string
  /** What is filtered, for screen readers, e.g. "Filter visits". */
  label: string
  children: ReactNode
  submitWords?: string
  /** Given when something is filtered: the address without any filter. */
  clearHref?: string
}

/** A form that asks by address (GET), so a filtered list can be linked and the back button works. */
export function FilterForm({ action, label, children, submitWords = 'Show', clearHref }: FilterFormProps) {
  return (
    <search>
      <form className="filter-form" action={action} method="get" aria-label={label}>
        {children}
        <button type="submit">{submitWords}</button>
        {clearHref !== undefined && (
          <PageLink className="button quiet" href={clearHref}>
            Show all
          </PageLink>
        )}
      </form>
    </search>
  )
}
