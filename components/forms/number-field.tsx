import { Field, type FieldProps } from './field'

/**
 * A figure: decimal keyboard on phones, but a text input, because number inputs swallow a comma, change under the scroll wheel
 * and give an empty string for what they do not like. What was typed reaches the schema as it was typed.
 */
export function NumberField({ whole = false, ...props }: FieldProps & { whole?: boolean }) {
  return <Field inputMode={whole ? 'numeric' : 'decimal'} autoComplete="off" {...props} type="text" />
}

/** An amount in major units as people write it ("184.00"); the currency's code stands behind it. */
export function MoneyField({ currency, ...props }: FieldProps & { currency: string }) {
  return <NumberField unit={currency} {...props} />
}
