'use client'

import { useRouter } from 'next/navigation'
import { VISIT_KIND_WORDS, VISIT_KINDS } from '@/lib/office/booking/schema'
import type { FormAction } from '@/lib/office/frame/schema'
import { CheckField, ChoiceField, Field, Form, NumberField, SelectField, TextAreaField } from '../forms'

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
  name: 'visit.book' | 'visit.move' | 'request.book'
  action: FormAction
  submit: string
  /** Sent along unseen: what is planned. */
  hidden: Readonly<Record<string, string>>
  values: PlanValues
  technicians: readonly { id: string; name: string }[]
  /** The page's address; the chosen day and technician are put into it, so that the day beside follows. */
  address: { path: string; params: Readonly<Record<string, string>> }
  /** A request is being booked: the client can be told something. */
  withAnswer?: boolean
}

/** When, by whom and what for. An overlap asks for a yes. */
export function PlanForm(props: Props) {
  const { name, action, submit, hidden, values, technicians, address, withAnswer = false } = props
  const router = useRouter()
  const showDay = (form: HTMLFormElement | null) => {
    if (!form) return
    const data = new FormData(form)
    const chosen = { date: String(data.get('date') ?? ''), technician: String(data.get('technicianId') ?? '') }
    router.replace(`${address.path}?${new URLSearchParams({ ...address.params, ...chosen })}`, { scroll: false })
  }
  return (
    <Form name={name} action={action} hidden={hidden} values={values} submit={submit}>
      {({ field, refusal }) => (
        <>
          {refusal === 'overlap' && (
            <CheckField {...field('overlapAccepted')} label="Yes, plan it although it overlaps" />
          )}
          {values.kind !== undefined && (
            <ChoiceField
              {...field('kind')}
              label="What kind of visit"
              options={VISIT_KINDS.map((kind) => ({ value: kind, label: VISIT_KIND_WORDS[kind] }))}
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
            <Field {...field('plannedStart')} label="Starts at" type="time" hint="Optional." />
            <NumberField {...field('plannedMinutes')} label="Takes" hint="Excluding travel." unit="minutes" whole />
          </div>
          <div className="pair-fields">
            <Field {...field('windowStart')} label="Promised from" type="time" hint="Optional." />
            <Field {...field('windowEnd')} label="Promised until" type="time" hint="The client reads this." />
          </div>
          <TextAreaField {...field('whatFor')} label="What for" hint="The client can read this." rows={3} />
          {withAnswer && (
            <TextAreaField
              {...field('answer')}
              label="Answer to the client"
              hint="Optional: they see the visit."
              rows={2}
            />
          )}
        </>
      )}
    </Form>
  )
}
