'use client'

import { startTransition, useActionState } from 'react'
import type { BookDueState } from '@/lib/office/booking/schema'
import { CheckField, Field, SelectField, SubmitButton } from '../forms'
import { dateWords, Notice, Problem } from '../paper'
import { PageLink } from '../shell'

export type DueLine = {
  /** Made by the page: the command, and so the visit, this line becomes. */
  commandId: string
  agreementId: string
  tankId: string
  tankName: string
  siteName: string
  clientName: string
  date: string
  dueOn: string
  everyDays: number
  visitMinutes: number
  technicianId: string
  windowStart: string
  windowEnd: string
  includes: string
}

type Props = {
  action: (before: BookDueState, data: FormData) => Promise<BookDueState>
  businessId: string
  lines: readonly DueLine[]
  technicians: readonly { id: string; name: string }[]
  locale: string
}

const BEFORE: BookDueState = { booked: 0, notBooked: [] }

/** What agreements ask for and nobody has booked, ticked: change what does not suit, and book the lot. */
export function DueForm({ action, businessId, lines, technicians, locale }: Props) {
  const [state, post, pending] = useActionState(action, BEFORE)
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
      {state.problem && <Problem>{state.problem}</Problem>}
      {state.booked > 0 && (
        <Notice>{state.booked === 1 ? 'One visit booked.' : `${state.booked} visits booked.`}</Notice>
      )}
      {state.notBooked.length > 0 && (
        <Problem title="Not booked">
          <ul>
            {state.notBooked.map(({ label, words }) => (
              <li key={label}>
                <b>{label}</b>: {words}
              </li>
            ))}
          </ul>
        </Problem>
      )}
      <input type="hidden" name="businessId" value={businessId} />
      <ul className="due-lines">
        {lines.map((line) => (
          <Line key={`${line.agreementId} ${line.dueOn}`} line={line} technicians={technicians} locale={locale} />
        ))}
      </ul>
      {lines.length > 0 && (
        <div className="form-actions">
          <SubmitButton pending={pending}>Book those ticked</SubmitButton>
        </div>
      )}
    </form>
  )
}

function Line({ line, technicians, locale }: { line: DueLine } & Pick<Props, 'technicians' | 'locale'>) {
  const { commandId, date, dueOn } = line
  const name = (field: string) => `${commandId}.${field}`
  const late = dueOn < date ? `, due since ${dateWords({ date: dueOn, style: 'short', locale })}` : ''
  const alone = new URLSearchParams({ tank: line.tankId, date, technician: line.technicianId, kind: 'routine' })
  return (
    <li className="due-line">
      <CheckField
        name={name('ticked')}
        defaultChecked
        label={
          <>
            <b>{line.tankName}</b>, {line.siteName}
          </>
        }
        hint={`${line.clientName}: every ${line.everyDays} days${late}`}
      />
      <input type="hidden" name={name('label')} value={`${line.tankName}, ${line.siteName}`} />
      <input type="hidden" name={name('tankId')} value={line.tankId} />
      <input type="hidden" name={name('whatFor')} value={line.includes} />
      <input type="hidden" name={name('windowStart')} value={line.windowStart} />
      <input type="hidden" name={name('windowEnd')} value={line.windowEnd} />
      <div className="due-fields">
        <Field label="Day" name={name('date')} type="date" defaultValue={date} />
        <SelectField
          label="Who goes"
          name={name('technicianId')}
          placeholder="Nobody yet"
          defaultValue={line.technicianId}
          options={technicians.map((technician) => ({ value: technician.id, label: technician.name }))}
        />
        <Field label="Starts at" name={name('plannedStart')} type="time" />
        <Field
          label="Minutes"
          name={name('plannedMinutes')}
          inputMode="numeric"
          defaultValue={String(line.visitMinutes)}
        />
      </div>
      <p className="small soft">
        {line.windowStart === ''
          ? 'Nothing promised about the hour'
          : `Promised ${line.windowStart}–${line.windowEnd}, as last time`}
        . <PageLink href={`/plan/book?${alone}`}>Book it by itself</PageLink>
      </p>
    </li>
  )
}
