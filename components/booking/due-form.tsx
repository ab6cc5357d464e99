'use client'

import { dueLineKey } from '@/lib/office/booking/schema'
import type { FormAction } from '@/lib/office/frame/schema'
import { CheckField, Field, Form, SelectField } from '../forms'
import { dateWords } from '../paper'
import { PageLink } from '../shell'

export type DueLine = {
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
  action: FormAction
  lines: readonly DueLine[]
  technicians: readonly { id: string; name: string }[]
  locale: string
}

/** What agreements ask for and nobody has booked, ticked: change what does not suit, and book the lot. */
export function DueForm({ action, lines, technicians, locale }: Props) {
  return (
    <Form name="due.book" action={action} submit={lines.length > 0 ? 'Book those ticked' : undefined}>
      <ul className="due-lines">
        {lines.map((line) => (
          <Line key={dueLineKey(line)} line={line} technicians={technicians} locale={locale} />
        ))}
      </ul>
    </Form>
  )
}

function Line({ line, technicians, locale }: { line: DueLine } & Pick<Props, 'technicians' | 'locale'>) {
  const { date, dueOn } = line
  const name = (field: string) => `${dueLineKey(line)}.${field}`
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
