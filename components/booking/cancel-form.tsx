'use client'

import { TextAreaField } from '../forms'
import { type PostAction, PostForm } from '../people'

type Props = { action: PostAction; hidden: Readonly<Record<string, string>> }

/** Cancels a visit, with the reason. */
export function CancelForm({ action, hidden }: Props) {
  return (
    <PostForm action={action} hidden={hidden} submit="Cancel this visit" plain>
      {({ typed, fields }) => (
        <TextAreaField
          id="reason"
          name="reason"
          label="Why"
          hint="Stays with us; the client sees only that it is cancelled."
          rows={2}
          defaultValue={typed.reason}
          error={fields.reason?.[0]}
        />
      )}
    </PostForm>
  )
}

/** Answers a client's request without a visit. */
export function AnswerForm({ action, hidden }: Props) {
  const id = `answer-${hidden.requestId ?? ''}`
  return (
    <details>
      <summary>Answer without a visit</summary>
      <PostForm action={action} hidden={hidden} submit="Send the answer" plain>
        {({ typed, fields }) => (
          <TextAreaField
            id={id}
            name="answer"
            label="Answer"
            hint="The client reads this."
            rows={2}
            defaultValue={typed.answer}
            error={fields.answer?.[0]}
          />
        )}
      </PostForm>
    </details>
  )
}
