'use client'

import { type ReactNode, startTransition, useActionState, useState } from 'react'
import { ErrorSummary, SubmitButton } from '@/components/forms'
import { EMPTY_VISIT_FORM, type VisitFormAction } from '@/lib/office/visits/schema'
import { RefusalList } from './refusal-list'
import { unsentBeside, unsentWords } from './unsent'

export type VisitFormProps = {
  action: VisitFormAction
  /** What is said; see `visitCommandSchema`. */
  kind: string
  /** Ids of the business, the visit and this saying of it. A new saying after each success keeps a resend harmless. */
  ids: { businessId: string; visitId: string; commandId: string }
  submit: string
  plain?: boolean
  big?: boolean
  /** The page of the visit that follows: '', '/look', … Left out: this page again. */
  next?: string
  hidden?: Readonly<Record<string, string>>
  children?: ReactNode
}

/** One thing said during a visit. Works before scripts have come; with them, what was typed stays when it is refused, and what is typed in another form is not lost without a word. */
export function VisitForm({ action, kind, ids, submit, plain, big, next, hidden = {}, children }: VisitFormProps) {
  const [state, post, pending] = useActionState(action, EMPTY_VISIT_FORM)
  const [unsent, setUnsent] = useState('')
  const sent = { kind, ...ids, ...(next === undefined ? {} : { next }), ...hidden }
  return (
    <form
      className="visit-form"
      action={post}
      noValidate
      onSubmit={(event) => {
        event.preventDefault()
        if (pending) return
        const beside = unsent === '' ? unsentBeside(event.currentTarget) : []
        if (beside.length > 0) return setUnsent(unsentWords(beside))
        setUnsent('')
        const data = new FormData(event.currentTarget)
        startTransition(() => post(data))
      }}
    >
      {Object.entries(sent).map(([name, value]) => (
        <input key={name} type="hidden" name={name} value={value} />
      ))}
      {children}
      <ErrorSummary errors={state.messages.map((message) => ({ message }))} />
      <RefusalList {...state} />
      {unsent !== '' && (
        <p role="alert" className="call">
          {unsent}
        </p>
      )}
      <SubmitButton pending={pending} plain={plain ?? false} big={big ?? false}>
        {submit}
      </SubmitButton>
    </form>
  )
}
