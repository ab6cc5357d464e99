'use client'

import { CheckField, Field, Form, TextAreaField } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

type Props = {
  action: FormAction
  person?: {
    id: string
    name: string
    email: string
    phone: string
    note: string
    isTechnician: boolean
    dayStart: string
    dayEnd: string
  }
}

/** What is known of a person; the same fields for a new one. */
export function PersonForm({ action, person }: Props) {
  const { name, email, phone, note, isTechnician = false, dayStart = '08:00', dayEnd = '17:00' } = person ?? {}
  return (
    <Form
      name={person ? 'person.edit' : 'person.add'}
      action={action}
      hidden={person && { personId: person.id }}
      values={{ name, email, phone, note, isTechnician, dayStart, dayEnd }}
      submit={person ? 'Save' : 'Add this person'}
    >
      {({ field }) => (
        <>
          <Field {...field('name')} label="Name" autoComplete="off" />
          <Field {...field('email')} label="E-mail address" type="email" autoComplete="off" hint="Optional." />
          <Field {...field('phone')} label="Phone" type="tel" autoComplete="off" hint="Optional." />
          <TextAreaField {...field('note')} label="Note for the office" />
          <CheckField {...field('isTechnician')} label="Goes on the round" hint="Visits can be planned for them." />
          <Field {...field('dayStart')} label="Working day begins" type="time" />
          <Field {...field('dayEnd')} label="Working day ends" type="time" />
        </>
      )}
    </Form>
  )
}
