import { type ComponentPropsWithRef, useId } from 'react'
import { describe, FieldWords, type FrameWords } from './field-frame'

export type CheckFieldProps = Omit<ComponentPropsWithRef<'input'>, 'type'> & FrameWords

/**
 * A yes that is said by ticking; the whole line is the target. A box sends its own `value`, else "on": the text that stands in a field (a form
 * gives blank for one it was told nothing about) is none of it, or a tick would send nothing.
 */
export function CheckField({ label, hint, error, id, 'aria-describedby': others, ...given }: CheckFieldProps) {
  const { defaultValue: _, ...input } = given
  const made = useId()
  const own = id ?? made
  return (
    <div className="check">
      <label className="check-label" htmlFor={own}>
        <input {...input} type="checkbox" id={own} {...describe(own, { hint, error }, others)} />
        <span>{label}</span>
      </label>
      <FieldWords id={own} hint={hint} error={error} />
    </div>
  )
}
