'use client'

import { TextAreaField } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people/post-form'

type Props = {
  action: PostAction
  hidden: Readonly<Record<string, string>>
  /** The business's own number; blank where it has given none. */
  phone: string
}

/** Asks for a visit in the client's own words, which stay in the field until they have arrived. */
export function AskForm({ action, hidden, phone }: Props) {
  return (
    <>
      <p>
        <strong>If animals are in danger or water is on the floor, telephone</strong>
        {phone && (
          <>
            : <a href={`tel:${phone.replace(/[^+\d]/g, '')}`}>{phone}</a>
          </>
        )}
        . Stay away from wet sockets and cables; where people are in danger call the emergency services first.
      </p>
      <PostForm action={action} hidden={hidden} submit="Ask for a visit">
        {({ typed, fields }) => (
          <TextAreaField
            id="words"
            name="words"
            label="What have you noticed?"
            defaultValue={typed.words ?? ''}
            error={fields.words?.[0]}
            maxLength={1000}
          />
        )}
      </PostForm>
    </>
  )
}
