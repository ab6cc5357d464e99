'use client'

import { CheckField, ChoiceField, Field, type FieldOf } from '@/components/forms'

type Props = {
  /** Gives the ties of the three fields, under whatever path they have in the form. */
  field: FieldOf<'installed' | 'installedOn' | 'confirmedNew'>
  /** What stands in `installed` now. */
  answer: string
}

/** How old a device is. "Unknown" is an answer; the day is asked for only where there is one. */
export function AgeFields({ field, answer }: Props) {
  return (
    <>
      <ChoiceField
        {...field('installed')}
        label="In use since"
        options={[
          { value: 'on', label: 'A day we know' },
          { value: 'unknown', label: 'Unknown' },
        ]}
      />
      {answer === 'on' && (
        <>
          <Field {...field('installedOn')} label="Since which day?" type="date" />
          <CheckField
            {...field('confirmedNew')}
            label="It was new on that day"
            hint="Only then do we count its whole life. Leave it out if you were only told."
          />
        </>
      )}
    </>
  )
}
