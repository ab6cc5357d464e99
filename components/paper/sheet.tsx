import { type ReactNode, useId } from 'react'

export type SheetProps = {
  title?: ReactNode
  /** `call`: someone must act on what is in here. */
  tone?: 'call'
  /** An anchor to jump to. */
  id?: string
  children: ReactNode
}

/** One sheet of the logbook: a titled section. Sheets never lie inside sheets. */
export function Sheet({ title, tone, id, children }: SheetProps) {
  const headingId = useId()
  if (title === undefined) {
    return (
      <div className="sheet" data-tone={tone} id={id}>
        {children}
      </div>
    )
  }
  return (
    <section className="sheet" data-tone={tone} id={id} aria-labelledby={headingId}>
      <h2 id={headingId}>{title}</h2>
      {children}
    </section>
  )
}
