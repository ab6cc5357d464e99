'use client'

import { type ReactNode, startTransition, useActionState, useId } from 'react'
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
  /** The fields. `id` makes a field's id of its name: two forms on one page may have fields of one name. */
  children?: (state: FormState, id: (name: string) => string) => ReactNode
}

/**
 * A form that works before scripts have come and loses nothing once they have: with scripts the browser's own reset of the
 * fields is left out, so whatever was typed, passwords too, is still there when something was wrong with it.
 */
export function PostForm({ action, submit, hidden = {}, plain = false, children }: Props) {
  const [state, post, pending] = useActionState(action, EMPTY_FORM)
  const form = useId()
  const id = (name: string) => `${form}-${name}`
  const errors = Object.entries(state.fields).flatMap(([name, messages]) =>
    (messages ?? []).slice(0, 1).map((message) => ({ fieldId: id(name), message })),
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
      {children?.(state, id)}
      <div className="form-actions">
        <SubmitButton pending={pending} plain={plain}>
          {submit}
        </SubmitButton>
      </div>
    </form>
  )
}
