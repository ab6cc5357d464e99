'use client'

import { Field, Form, TextAreaField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Props = {
  action: FormAction
  today: string
  /** The fault a new remedy is against, or the remedy that is put right. */
  of: { tankId: string; equipmentClass: string; failureMode: string } | { remedyId: string }
  /** What stands there now; without it a new remedy is written down. */
  remedy?: { remedy: string; effectiveOn: string }
}

/** What was decided against a fault, and from when it acts. */
export function RemedyForm({ action, today, of, remedy }: Props) {
  return (
    <Form
      name={remedy ? 'remedy.correct' : 'remedy.record'}
      action={action}
      hidden={of}
      values={{ remedy: remedy?.remedy, effectiveOn: remedy?.effectiveOn ?? today }}
      submit={remedy ? 'Correct it' : 'Write it down and watch'}
      plain={remedy !== undefined}
    >
      {({ field }) => (
        <>
          <TextAreaField
            {...field('remedy')}
            label="What was decided and done"
            hint="Such as: a screen before the pump; the refugium harvested each visit."
            rows={2}
          />
          <Field
            {...field('effectiveOn')}
            type="date"
            label="Since which day"
            hint="Needs of this day count before, later ones after."
            max={today}
          />
        </>
      )}
    </Form>
  )
}
