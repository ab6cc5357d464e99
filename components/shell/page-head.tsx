import type { ReactNode } from 'react'

export type PageHeadProps = {
  title: ReactNode
  /** A line above the title that says what this belongs to, e.g. "Our tanks". */
  over?: ReactNode
  /** The one sentence that says how things stand. */
  sub?: ReactNode
  actions?: ReactNode
}

/** A page's `<h1>` with its sentence and what can be done. */
export function PageHead({ title, over, sub, actions }: PageHeadProps) {
  return (
    <div className="page-head">
      <div>
        {over !== undefined && <p className="page-head-over">{over}</p>}
        <h1>{title}</h1>
        {sub !== undefined && <p className="page-head-sub">{sub}</p>}
      </div>
      {actions !== undefined && <div className="page-head-actions actions">{actions}</div>}
    </div>
  )
}
