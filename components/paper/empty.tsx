import type { ReactNode } from 'react'

/** What stands where a list has nothing: what would be here, and how it gets here. */
export function Empty({ title, children }: { title: ReactNode; children?: ReactNode }) {
  return (
    <div className="empty">
      <p className="empty-title">{title}</p>
      {children !== undefined && <div>{children}</div>}
    </div>
  )
}
