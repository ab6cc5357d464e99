import { type ComponentPropsWithRef, useId } from 'react'
import { describe, FieldFrame, type FrameWords } from './field-frame'

export type TextAreaFieldProps = ComponentPropsWithRef<'textarea'> & FrameWords

/** Several lines of text. */
export function TextAreaField({ label, hint, error, id, 'aria-describedby': others, ...area }: TextAreaFieldProps) {
  const made = useId()
  const own = id ?? made
  return (
    <FieldFrame id={own} label={label} hint={hint} error={error}>
      <textarea rows={4} {...area} id={own} {...describe(own, { hint, error }, others)} />
    </FieldFrame>
  )
}
