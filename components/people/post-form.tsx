'use client'

import { type ReactNode, startTransition, useActionState } from 'react'
import { ErrorSummary, SubmitButton } from '@/components/forms'
import { Notice, Problem } from '@/components/paper'
import { EMPTY_FORM, type FormState } from '@/lib/office/people/schema'

/** What a server action for a `PostForm` looks like. */
export type PostAction = (before: FormState, data: FormData) => Promise<FormState>

type Props = {
  action: PostAction
  submit: string
  /** Sent along unseen: the ids of the command and of the business. */
  hidden?: Readonly<Record<string, string>>
  plain?: boolean
  children?: (state: FormState) => ReactNode
}

/**
 * A form that works before scripts have come and loses nothing once they have: with scripts the browser's own reset of the
 * fields is left out, so whatever was typed, passwords too, is still there when something was wrong with it.
 */
export function PostForm({ action, submit, hidden = {}, plain = false, children }: Props) {
  const [state, post, pending] = useActionState(action, EMPTY_FORM)
  const errors = Object.entries(state.fields).flatMap(([name, messages]) =>
    (messages ?? []).slice(0, 1).map((message) => ({ fieldId: name, message })),
  )
  return (
    <form
      action={post}
      noValidate
      onSubmit={(event) => {
        event.preventDefault()
        if (pending) return
        const data = new FormData(event.currentTarget)
        startTransition(() => post(data))
      }}
    >
      <ErrorSummary errors={errors} />
      {state.problem && <Problem>{state.problem}</Problem>}
      {state.notice && <Notice>{state.notice}</Notice>}
      {Object.entries(hidden).map(([name, value]) => (
        <input key={name} type="hidden" name={name} value={value} />
      ))}
      {children?.(state)}
      <div className="form-actions">
        <SubmitButton pending={pending} plain={plain}>
          {submit}
        </SubmitButton>
      </div>
    </form>
  )
}
