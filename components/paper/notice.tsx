import type { ReactNode } from 'react'

type Props = { title?: ReactNode; children?: ReactNode }

/** Something went as it should; read out when the reader has a moment. */
export function Notice({ title, children }: Props) {
  return (
    <div className="notice" role="status">
      {title !== undefined && <b>{title}</b>}
      {children}
    </div>
  )
}

/** Something did not work and what to do now; read out at once. */
export function Problem({ title, children }: Props) {
  return (
    <div className="problem" role="alert">
      {title !== undefined && <b>{title}</b>}
      {children}
    </div>
  )
}
