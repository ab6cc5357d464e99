'use client'

import { Field, TextAreaField } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people'

type Props = {
  action: PostAction
  hidden: Readonly<Record<string, string>>
  submit: string
  /** What stands there now; blank for a new remedy. */
  remedy: string
  effectiveOn: string
  today: string
  plain?: boolean
}

/** What was decided against a fault, and from when it acts. */
export function RemedyForm({ action, hidden, submit, remedy, effectiveOn, today, plain = false }: Props) {
  return (
    <PostForm action={action} hidden={hidden} submit={submit} plain={plain}>
      {({ typed, fields }, id) => (
        <>
          <TextAreaField
            id={id('remedy')}
            name="remedy"
            label="What was decided and done"
            hint="Such as: a screen before the pump; the refugium harvested each visit."
            rows={2}
            defaultValue={typed.remedy ?? remedy}
            error={fields.remedy?.[0]}
          />
          <Field
            id={id('effectiveOn')}
            name="effectiveOn"
            type="date"
            label="Since which day"
            hint="Needs of this day count before, later ones after."
            max={today}
            defaultValue={typed.effectiveOn ?? effectiveOn}
            error={fields.effectiveOn?.[0]}
          />
        </>
      )}
    </PostForm>
  )
}
