import type { ComponentProps, ReactNode } from 'react'

/** Fields that belong together under one heading. */
export function Fieldset({ legend, children, ...rest }: ComponentProps<'fieldset'> & { legend: ReactNode }) {
  return (
    <fieldset className="fieldset" {...rest}>
      <legend>{legend}</legend>
      {children}
    </fieldset>
  )
}
