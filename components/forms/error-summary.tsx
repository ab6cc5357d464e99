'use client'

import { useEffect, useRef } from 'react'

export type SummaryError = {
  /** The id given to the field, to jump to it; without one the error concerns the whole form. */
  fieldId?: string
  message: string
}

/** All that is wrong with a form in one place. Takes the focus when it appears, so that it is read out and seen. */
export function ErrorSummary({ errors, title }: { errors: readonly SummaryError[]; title?: string }) {
  const box = useRef<HTMLDivElement>(null)
  const count = errors.length
  useEffect(() => {
    if (count > 0) box.current?.focus()
  }, [count])
  if (count === 0) return null
  return (
    <div className="error-summary" ref={box} tabIndex={-1} role="alert">
      <h2>{title ?? (count === 1 ? 'One thing needs another look' : `${count} things need another look`)}</h2>
      <ul>
        {errors.map(({ fieldId, message }) => (
          <li key={`${fieldId ?? ''} ${message}`}>
            {fieldId === undefined ? message : <a href={`#${fieldId}`}>{message}</a>}
          </li>
        ))}
      </ul>
    </div>
  )
}
