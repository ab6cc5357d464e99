'use client'

import { Form, SelectField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Choice = { value: string; label: string }
type Props = {
  action: FormAction
  choices: readonly Choice[]
  things: 'clients' | 'sites' | 'tanks'
  survivorId: string
  duplicateId: string
}

/** Two entries become one: which stays, and which goes into it. */
export function MergeForm({ action, choices, things, survivorId, duplicateId }: Props) {
  return (
    <Form
      name={`${things}.merge`}
      action={action}
      about={`${survivorId} ${duplicateId}`}
      values={{ survivorId, duplicateId }}
      submit="Merge the two"
      cancelHref={things === 'tanks' ? '/tanks' : '/clients'}
    >
      {({ field }) => (
        <>
          <SelectField {...field('survivorId')} label="Keep this entry" placeholder="Choose one" options={choices} />
          <SelectField
            {...field('duplicateId')}
            label="This one is the same and goes into it"
            placeholder="Choose one"
            options={choices}
          />
          <p className="soft">
            What lies ahead goes to the entry you keep. What happened stays as it was written and is found there too.
            This cannot be undone.
          </p>
        </>
      )}
    </Form>
  )
}
