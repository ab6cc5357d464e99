import type { ReactNode } from 'react'

export type FrameWords = {
  label: ReactNode
  /** What to type and in which form, before one types it. */
  hint?: ReactNode
  /** What is wrong and how to put it right. */
  error?: string | undefined
}

/** The attributes that tie a control to its hint and error; the same for every kind of control. */
export function describe(id: string, { hint, error }: Pick<FrameWords, 'hint' | 'error'>, others?: string) {
  const ids = [others, hint !== undefined && `${id}-hint`, error && `${id}-error`].filter(Boolean)
  return { 'aria-describedby': ids.length > 0 ? ids.join(' ') : undefined, 'aria-invalid': error ? true : undefined }
}

/** Hint and error of the control with this id. */
export function FieldWords({ id, hint, error }: { id: string } & Pick<FrameWords, 'hint' | 'error'>) {
  return (
    <>
      {hint !== undefined && (
        <p className="field-hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      {error && (
        <p className="field-error" id={`${id}-error`}>
          <span className="visually-hidden">Problem: </span>
          {error}
        </p>
      )}
    </>
  )
}

/** Label above, hint and error between it and the control, so that the keyboard of a phone never covers them. */
export function FieldFrame({ id, label, hint, error, children }: FrameWords & { id: string; children: ReactNode }) {
  return (
    <div className="field">
      <label className="field-label" htmlFor={id}>
        {label}
      </label>
      <FieldWords id={id} hint={hint} error={error} />
      {children}
    </div>
  )
}
