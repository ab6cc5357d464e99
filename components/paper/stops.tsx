import type { ReactNode } from 'react'

/** The day's stops in their order; holds `Stop`s. */
export function Stops({ children }: { children: ReactNode }) {
  return <ol className="stops">{children}</ol>
}

export type StopProps = {
  /** As a clock shows it, e.g. "09:20". */
  time: string
  place: ReactNode
  /** Key, wish, what was left. */
  sub?: ReactNode
  /** `now` is the one being driven to or worked at. */
  state?: 'done' | 'now' | 'ahead'
  actions?: ReactNode
  children?: ReactNode
}

/** One stop of the day. */
export function Stop({ time, place, sub, state = 'ahead', actions, children }: StopProps) {
  return (
    <li className="stop" data-state={state} aria-current={state === 'now' ? 'step' : undefined}>
      <div className="stop-time">{time}</div>
      <div>
        <div className="stop-place">{place}</div>
        {sub !== undefined && <div className="stop-sub">{sub}</div>}
        {children}
        {actions !== undefined && <div className="stop-actions">{actions}</div>}
      </div>
    </li>
  )
}
