import { type ReactNode, useId } from 'react'

export type ProgressProps = {
  label: ReactNode
  /** Left out while nobody knows how far it is. */
  value?: number
  max?: number
  /** e.g. "14 of 17" */
  words?: ReactNode
}

/** How far something has come, in words and as a bar. */
export function Progress({ label, value, max = 1, words }: ProgressProps) {
  const id = useId()
  return (
    <div className="progress">
      <div className="progress-words">
        <label htmlFor={id}>{label}</label>
        {words !== undefined && <span className="soft">{words}</span>}
      </div>
      <progress id={id} value={value} max={max} />
    </div>
  )
}
