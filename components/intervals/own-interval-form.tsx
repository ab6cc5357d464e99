'use client'

import { NumberField } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people'

type Props = { action: PostAction; hidden: Readonly<Record<string, string>>; weeks: string }

/** The owner's own interval for one task on one device. */
export function OwnIntervalForm({ action, hidden, weeks }: Props) {
  return (
    <PostForm action={action} hidden={hidden} submit="Set this interval" plain>
      {({ typed, fields }, id) => (
        <NumberField
          id={id('weeks')}
          name="weeks"
          label="Do it every"
          unit="weeks"
          defaultValue={typed.weeks ?? weeks}
          error={fields.weeks?.[0]}
          hint="Leave it empty for: only when it is needed. It holds until you change it, for everything this work sees to."
        />
      )}
    </PostForm>
  )
}
