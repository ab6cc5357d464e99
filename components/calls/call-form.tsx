'use client'

import { ChoiceField, Field, Form, TextAreaField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Props = {
  businessId: string
  tankId: string
  sign: string
  /** What the script has them told: to be shortened to what was really said. */
  told: string
  goes: boolean | null
  action: FormAction
}

/** What is kept of a call. What was told begins as the script has it; whoever rang may have been told less. */
export function CallForm({ businessId, tankId, sign, told, goes, action }: Props) {
  return (
    <Form
      name="call.log"
      about={`${tankId} ${sign}`}
      action={action}
      hidden={{ businessId, tankId, sign }}
      values={{ told }}
      submit="Write the call down"
      big
    >
      {({ field }) => (
        <>
          <Field {...field('said')} label="In their words (optional)" />
          <TextAreaField {...field('told')} rows={4} label="What you told them" hint="Cut what you did not say." />
          <ChoiceField
            {...field('verdict')}
            label="Does somebody go?"
            hint={goes === null ? undefined : goes ? 'Usually: go.' : 'Usually it can wait.'}
            options={[
              { value: 'go', label: 'Yes, somebody goes' },
              { value: 'wait', label: 'No, it can wait' },
            ]}
          />
        </>
      )}
    </Form>
  )
}
