'use client'

import { TextAreaField } from '@/components/forms'
import { type PostAction, PostForm } from '@/components/people/post-form'

type Props = { action: PostAction; hidden: Readonly<Record<string, string>> }

/** Asks for a visit in the client's own words, which stay in the field until they have arrived. */
export function AskForm({ action, hidden }: Props) {
  return (
    <PostForm action={action} hidden={hidden} submit="Ask for a visit">
      {({ typed, fields }) => (
        <TextAreaField
          id="words"
          name="words"
          label="What have you noticed?"
          hint="If animals are in danger or water is on the floor, please telephone."
          defaultValue={typed.words ?? ''}
          error={fields.words?.[0]}
          maxLength={1000}
        />
      )}
    </PostForm>
  )
}
