'use client'

import { Field, Form, NumberField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Props = {
  action: FormAction
  reservoirId: string
  unit: string
  today: string
  /** One record that should have read otherwise; without it a level that somebody told outside a visit. */
  was?: { id: string; on: string; before: string; after: string }
}

/** What stood in a container on a day. */
export function LevelForm({ action, reservoirId, unit, today, was }: Props) {
  return (
    <Form
      name={was ? 'level.correct' : 'level.record'}
      action={action}
      hidden={was ? { levelId: was.id } : { reservoirId }}
      values={{ measuredOn: was?.on ?? today, levelBefore: was?.before, levelAfter: was?.after }}
      submit={was ? 'Save correction' : 'Write it down'}
    >
      {({ field }) => (
        <>
          <Field {...field('measuredOn')} label="On which day?" type="date" />
          <NumberField {...field('levelBefore')} label="What was in it" hint="Before anybody filled it." unit={unit} />
          <NumberField {...field('levelAfter')} label="After filling" hint="Blank: nobody filled it." unit={unit} />
        </>
      )}
    </Form>
  )
}
