'use client'

import { useRouter } from 'next/navigation'
import { startTransition, useActionState, useState } from 'react'
import { type BookingState, VISIT_KIND_WORDS, VISIT_KINDS } from '@/lib/office/booking/schema'
import {
  CheckField,
  ChoiceField,
  ErrorSummary,
  Field,
  NumberField,
  SelectField,
  SubmitButton,
  TextAreaField,
} from '../forms'
import { Problem } from '../paper'

export type PlanAction = (before: BookingState, data: FormData) => Promise<BookingState>

export type PlanValues = {
  date: string
  windowStart: string
  windowEnd: string
  technicianId: string
  plannedStart: string
  plannedMinutes: string
  whatFor: string
  /** Left out where the kind is settled already. */
  kind?: string
}

type Props = {
  action: PlanAction
  submit: string
  /** Sent along unseen: the ids of the command, the business and what is planned. */
  hidden: Readonly<Record<string, string>>
  values: PlanValues
  technicians: readonly { id: string; name: string }[]
  /** The page's address; the chosen day and technician are put into it, so that the day beside follows. */
  address: { path: string; params: Readonly<Record<string, string>> }
  /** A request is being booked: the client can be told something. */
  withAnswer?: boolean
}

const BEFORE: BookingState = { typed: {}, fields: {} }

/** When, by whom and what for. What was typed stays whatever is refused; an overlap asks for a yes. */
export function PlanForm({ action, submit, hidden, values, technicians, address, withAnswer = false }: Props) {
  const [state, post, pending] = useActionState(action, BEFORE)
  // Kept while the page below is read again: sent twice, it is still one command.
  const [commandId] = useState(hidden.commandId ?? '')
  const router = useRouter()
  const errors = Object.entries(state.fields).flatMap(([fieldId, messages]) =>
    (messages ?? []).slice(0, 1).map((message) => ({ fieldId, message })),
  )
  const field = (name: Exclude<keyof PlanValues, 'kind'> | 'answer') => ({
    id: name,
    name,
    defaultValue: state.typed[name] ?? (name === 'answer' ? '' : values[name]),
    error: state.fields[name]?.[0],
  })
  const showDay = (form: HTMLFormElement | null) => {
    if (!form) return
    const data = new FormData(form)
    const chosen = { date: String(data.get('date') ?? ''), technician: String(data.get('technicianId') ?? '') }
    router.replace(`${address.path}?${new URLSearchParams({ ...address.params, ...chosen })}`, { scroll: false })
  }
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
      {Object.entries({ ...hidden, commandId }).map(([name, value]) => (
        <input key={name} type="hidden" name={name} value={value} />
      ))}
      {state.overlap && (
        <CheckField id="overlapAccepted" name="overlapAccepted" label="Yes, plan it although it overlaps" />
      )}
      {values.kind !== undefined && (
        <ChoiceField
          id="kind"
          name="kind"
          label="What kind of visit"
          options={VISIT_KINDS.map((kind) => ({ value: kind, label: VISIT_KIND_WORDS[kind] }))}
          defaultValue={state.typed.kind ?? values.kind}
          error={state.fields.kind?.[0]}
        />
      )}
      <Field {...field('date')} label="Day" type="date" onChange={(event) => showDay(event.target.form)} />
      <SelectField
        {...field('technicianId')}
        label="Who goes"
        placeholder="Nobody yet"
        options={technicians.map(({ id, name }) => ({ value: id, label: name }))}
        onChange={(event) => showDay(event.target.form)}
      />
      <div className="pair-fields">
        <Field {...field('plannedStart')} label="Starts at" type="time" hint="May stay empty." />
        <NumberField {...field('plannedMinutes')} label="Takes" hint="Without the way." unit="minutes" whole />
      </div>
      <div className="pair-fields">
        <Field {...field('windowStart')} label="Promised from" type="time" hint="May stay empty." />
        <Field {...field('windowEnd')} label="Promised until" type="time" hint="The client reads this." />
      </div>
      <TextAreaField {...field('whatFor')} label="What for" hint="The client can read this." rows={3} />
      {withAnswer && (
        <TextAreaField
          {...field('answer')}
          label="Answer to the client"
          hint="May stay empty: they see the visit."
          rows={2}
        />
      )}
      <div className="form-actions">
        <SubmitButton pending={pending}>{submit}</SubmitButton>
      </div>
    </form>
  )
}
