'use client'

import { CheckField, Field, TextAreaField } from '@/components/forms'
import { type PostAction, PostForm } from './post-form'

export type PersonValues = {
  name: string
  email: string
  phone: string
  note: string
  isTechnician: boolean
  dayStart: string
  dayEnd: string
}

const NOBODY: PersonValues = {
  name: '',
  email: '',
  phone: '',
  note: '',
  isTechnician: false,
  dayStart: '08:00',
  dayEnd: '17:00',
}

type Props = { action: PostAction; hidden: Readonly<Record<string, string>>; person?: PersonValues }

/** What is known of a person; the same fields for a new one. */
export function PersonForm({ action, hidden, person }: Props) {
  const before = person ?? NOBODY
  return (
    <PostForm action={action} hidden={hidden} submit={person ? 'Save' : 'Add this person'}>
      {({ typed, fields }, id) => {
        const field = (name: 'name' | 'email' | 'phone' | 'note' | 'dayStart' | 'dayEnd') => ({
          id: id(name),
          name,
          defaultValue: typed[name] ?? before[name],
          error: fields[name]?.[0],
        })
        const again = Object.keys(typed).length > 0
        return (
          <>
            <Field {...field('name')} label="Name" autoComplete="off" />
            <Field {...field('email')} label="E-mail address" type="email" autoComplete="off" hint="May stay empty." />
            <Field {...field('phone')} label="Phone" type="tel" autoComplete="off" hint="May stay empty." />
            <TextAreaField {...field('note')} label="Note for the office" />
            <CheckField
              id={id('isTechnician')}
              name="isTechnician"
              label="Goes on the round"
              hint="Visits can be planned for them."
              defaultChecked={again ? typed.isTechnician === 'on' : before.isTechnician}
            />
            <Field {...field('dayStart')} label="Working day begins" type="time" />
            <Field {...field('dayEnd')} label="Working day ends" type="time" />
          </>
        )
      }}
    </PostForm>
  )
}
