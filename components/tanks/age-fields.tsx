'use client'

import { type Control, type FieldValues, type Path, useWatch } from 'react-hook-form'
import type { FieldTies } from '@/components/clients'
import { CheckField, ChoiceField, Field } from '@/components/forms'

type Props<Values extends FieldValues> = {
  control: Control<Values>
  /** The ties of `installed`, `installedOn` and `confirmedNew`, under whatever path they have in the form. */
  installed: FieldTies
  installedOn: FieldTies
  confirmedNew: FieldTies
}

/** How old a device is. "Unknown" is an answer; the day is asked for only where there is one. */
export function AgeFields<Values extends FieldValues>({
  control,
  installed,
  installedOn,
  confirmedNew,
}: Props<Values>) {
  // The name comes from the form's own ties, so it is one of its paths.
  const answer: unknown = useWatch({ control, name: installed.name as Path<Values> })
  return (
    <>
      <ChoiceField
        {...installed}
        label="In use since"
        options={[
          { value: 'on', label: 'A day we know' },
          { value: 'unknown', label: 'Unknown' },
        ]}
      />
      {answer === 'on' && (
        <>
          <Field {...installedOn} label="Since which day?" type="date" />
          <CheckField
            {...confirmedNew}
            label="It was new on that day"
            hint="Only then do we count its whole life. Leave it out if you were only told."
          />
        </>
      )}
    </>
  )
}
