import { type ComponentPropsWithRef, useId } from 'react'
import { describe, FieldFrame, type FrameWords } from './field-frame'

export type SelectOption = { value: string; label: string; disabled?: boolean }
export type SelectFieldProps = ComponentPropsWithRef<'select'> &
  FrameWords & {
    /** Instead of children. */
    options?: readonly SelectOption[]
    /** An empty first entry, e.g. "Choose one": then nothing is chosen unasked. */
    placeholder?: string
  }

/** One of a list too long for `ChoiceField`. */
export function SelectField(props: SelectFieldProps) {
  const { label, hint, error, options, placeholder, id, children, 'aria-describedby': others, ...select } = props
  const made = useId()
  const own = id ?? made
  return (
    <FieldFrame id={own} label={label} hint={hint} error={error}>
      {/* A list does not follow another answer of the page by itself, as the other fields do. */}
      <select key={String(select.defaultValue)} {...select} id={own} {...describe(own, { hint, error }, others)}>
        {placeholder !== undefined && <option value="">{placeholder}</option>}
        {options?.map((option) => (
          <option key={option.value} value={option.value} disabled={option.disabled}>
            {option.label}
          </option>
        ))}
        {children}
      </select>
    </FieldFrame>
  )
}
