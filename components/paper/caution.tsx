import type { ReactNode } from 'react'

export type CautionProps = {
  children: ReactNode
  /** A line below in quieter type, e.g. that local codes and licensed practice decide. */
  local?: ReactNode
}

/** A caution beside the step it belongs to. The triangle repeats what the word says, so it is hidden from screen readers. */
export function Caution({ children, local }: CautionProps) {
  return (
    <div className="caution" role="note" aria-label="Caution">
      <svg className="caution-mark" viewBox="0 0 24 24" aria-hidden="true">
        <path d="M12 3.5 22 21H2Z" />
        <path d="M12 10v5M12 18v.2" />
      </svg>
      <div>
        <div className="caution-words">{children}</div>
        {local !== undefined && <div className="caution-local">{local}</div>}
      </div>
    </div>
  )
}
