'use client'

import { type Control, useFieldArray } from 'react-hook-form'
import { CheckField, Field, type FieldOf } from '@/components/forms'
import type { SiteFields } from '@/lib/office/clients/schema'

const WEEKDAYS = [
  ['1', 'Monday'],
  ['2', 'Tuesday'],
  ['3', 'Wednesday'],
  ['4', 'Thursday'],
  ['5', 'Friday'],
  ['6', 'Saturday'],
  ['7', 'Sunday'],
] as const

type Props = { control: Control<SiteFields>; field: FieldOf<string> }

/** Whom to ask for, one after the other. */
export function ContactRows({ control, field }: Props) {
  const rows = useFieldArray({ control, name: 'contacts' })
  return (
    <>
      {rows.fields.map((row, index) => (
        <fieldset className="register-row" key={row.id}>
          <legend className="visually-hidden">Contact {index + 1}</legend>
          <Field {...field(`contacts.${index}.name`)} label="Name" />
          <Field {...field(`contacts.${index}.role`)} label="What they are there" hint="Caretaker, manager." />
          <Field {...field(`contacts.${index}.phone`)} label="Phone" type="tel" />
          <Field {...field(`contacts.${index}.email`)} label="E-mail address" type="email" />
          <button type="button" className="quiet" onClick={() => rows.remove(index)}>
            Take this contact out
          </button>
        </fieldset>
      ))}
      <button type="button" onClick={() => rows.append({ name: '', role: '', phone: '', email: '' })}>
        {rows.fields.length === 0 ? 'Add a contact' : 'Add another contact'}
      </button>
    </>
  )
}

/** Days and times at which somebody lets us in; without any, there is no limit. */
export function WindowRows({ control, field }: Props) {
  const rows = useFieldArray({ control, name: 'accessWindows' })
  return (
    <>
      {rows.fields.length === 0 && <p className="soft">At any time. Add a time if it is not so.</p>}
      {rows.fields.map((row, index) => {
        const { error, id, ...days } = field(`accessWindows.${index}.weekdays`)
        return (
          <fieldset className="register-row" key={row.id} aria-describedby={error ? `${id}-error` : undefined}>
            <legend className="visually-hidden">Time {index + 1}</legend>
            <div className="register-days" id={id} tabIndex={-1}>
              {WEEKDAYS.map(([value, label]) => (
                <CheckField key={value} {...days} value={value} label={label} />
              ))}
            </div>
            {error && (
              <p className="field-error" id={`${id}-error`}>
                {error}
              </p>
            )}
            <Field {...field(`accessWindows.${index}.from`)} label="From" type="time" />
            <Field {...field(`accessWindows.${index}.to`)} label="Until" type="time" />
            <button type="button" className="quiet" onClick={() => rows.remove(index)}>
              Take this time out
            </button>
          </fieldset>
        )
      })}
      <button type="button" onClick={() => rows.append({ weekdays: [], from: '', to: '' })}>
        {rows.fields.length === 0 ? 'Add a time' : 'Add another time'}
      </button>
    </>
  )
}
