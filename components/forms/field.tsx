import { type ComponentPropsWithRef, type ReactNode, useId } from 'react'
import { describe, FieldFrame, type FrameWords } from './field-frame'

export type FieldProps = ComponentPropsWithRef<'input'> &
  FrameWords & {
    /** Stands after the field and belongs to its description, e.g. "L" or "days". */
    unit?: ReactNode
  }

/** One line of text or a figure. Takes everything an `<input>` takes, so `{...form.register('name')}` and plain forms work alike. */
export function Field({ label, hint, error, unit, id, 'aria-describedby': others, ...input }: FieldProps) {
  const made = useId()
  const own = id ?? made
  const unitId = unit === undefined ? undefined : `${own}-unit`
  const ties = describe(own, { hint, error }, [others, unitId].filter(Boolean).join(' '))
  const control = <input {...input} id={own} {...ties} />
  return (
    <FieldFrame id={own} label={label} hint={hint} error={error}>
      {unit === undefined ? (
        control
      ) : (
        <div className="field-unit">
          {control}
          <span id={unitId}>{unit}</span>
        </div>
      )}
    </FieldFrame>
  )
}
