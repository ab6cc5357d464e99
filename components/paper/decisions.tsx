import type { ReactNode } from 'react'

/** A list of things that wait for someone's word; holds `Decision`s. */
export function Decisions({ children }: { children: ReactNode }) {
  return <ul className="decisions">{children}</ul>
}

/** One thing to decide: what, why in a quieter line, and the button. */
export function Decision({ title, sub, actions }: { title: ReactNode; sub?: ReactNode; actions?: ReactNode }) {
  return (
    <li className="decision">
      <div>
        <div>{title}</div>
        {sub !== undefined && <div className="decision-sub">{sub}</div>}
      </div>
      {actions !== undefined && <div className="actions">{actions}</div>}
    </li>
  )
}
