import { type ComponentPropsWithRef, type ReactNode, useId } from 'react'
import { describe, FieldWords, type FrameWords } from './field-frame'

export type ChoiceOption = { value: string; label: ReactNode; sub?: ReactNode; disabled?: boolean }
export type ChoiceFieldProps = Omit<
  ComponentPropsWithRef<'input'>,
  'type' | 'value' | 'defaultValue' | 'checked' | 'list'
> &
  FrameWords & {
    name: string
    options: readonly ChoiceOption[]
    /** Controlled, together with onChange. */
    value?: string | undefined
    /** What was chosen before. Leave it out for a question: an answer nobody gave must not be in the record. */
    defaultValue?: string | undefined
    /** One below the other, for long words. */
    list?: boolean
    /** The label is the page's question and is set as large as a title. */
    question?: boolean
  }

/** A few answers as big buttons, one of which can be chosen; a radio group underneath, so keys, forms and readers know it. */
export function ChoiceField(props: ChoiceFieldProps) {
  const { label, hint, error, options, value, defaultValue, list = false, question = false, id, ...rest } = props
  const { 'aria-describedby': others, ...input } = rest
  const made = useId()
  const own = id ?? made
  return (
    <fieldset className={question ? 'choice choice-question' : 'choice'} {...describe(own, { hint, error }, others)}>
      <legend>{label}</legend>
      <FieldWords id={own} hint={hint} error={error} />
      <div className="choice-options" data-list={list || undefined}>
        {options.map((option, index) => (
          <label className="choice-option" key={option.value}>
            <input
              {...input}
              type="radio"
              id={index === 0 ? own : `${own}-${option.value}`}
              value={option.value}
              checked={value === undefined ? undefined : value === option.value}
              defaultChecked={value === undefined ? defaultValue === option.value || undefined : undefined}
              disabled={option.disabled || input.disabled}
            />
            <span className="choice-face">
              {option.label}
              {option.sub !== undefined && <span className="soft">{option.sub}</span>}
            </span>
          </label>
        ))}
      </div>
    </fieldset>
  )
}
