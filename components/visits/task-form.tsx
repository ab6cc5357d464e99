'use client'

import { CheckField, ChoiceField, Fieldset } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'
import { Cautions } from './cautions'
import { type LookedMode, LookFields } from './look-fields'
import { VisitForm } from './visit-form'
import { optionsOf, REASON_WORDS } from './words'

export type TaskFormProps = {
  action: FormAction
  visitId: string
  device: { id: string; label: string }
  /** What can go wrong with it and this work starts anew. */
  modes: readonly LookedMode[]
  task: {
    slug: string
    name: string
    minutes: number
    opens: boolean
    exchanges: boolean
    cautions: readonly string[]
    renews: readonly { slug: string; name: string; asked: boolean }[]
    because: { kind: string; words: string } | null
    done: boolean
  }
  /** Parts that this work uses, in words with what the van has of them. */
  takes?: readonly string[]
}

/**
 * One care task: its cautions, its own looks, then why it was done. Opens in place. Made on the device too: a page has a dozen, and each sent twice,
 * as a page and as what scripts go on from, was most of it.
 */
export function TaskForm({ action, visitId, device, modes, task, takes = [] }: TaskFormProps) {
  const known = modes.flatMap(({ slug, finding }) => (finding ? [{ mode: slug, asFound: finding.asFound }] : []))
  const because = task.because && !task.done ? task.because : null
  const about = [task.done ? 'done at this visit' : because?.words, `${task.minutes} min`].filter(Boolean).join(' · ')
  return (
    <details className="visit-task" data-because={because?.kind}>
      <summary>
        <span>
          {task.name}
          <br />
          <span className="soft small">{about}</span>
        </span>
      </summary>
      <Cautions texts={task.cautions} local="Local codes and licensed trades go first." />
      {takes.length > 0 && <p>Takes {takes.join(' and ')}.</p>}
      {task.opens && <p className="soft">Towels down before a wet device leaves the sump.</p>}
      <VisitForm
        action={action}
        kind="visit.work"
        visitId={visitId}
        about={`${device.id} ${task.slug}`}
        submit={task.done ? 'Done once more' : 'Done'}
        hidden={{ equipmentId: device.id, task: task.slug, known: JSON.stringify(known) }}
      >
        <Fieldset legend="Looked at first">
          <p className="soft small">
            The work starts these anew. Say how each was before; leave blank what nobody could see.
          </p>
          {modes.map((mode) => (
            <LookFields key={mode.slug} equipmentId={device.id} mode={mode} whole level={3} />
          ))}
        </Fieldset>
        <ChoiceField name="reason" label="Why was it done?" options={optionsOf(REASON_WORDS)} list />
        {task.renews.length > 1 && (
          <details>
            <summary>Worn or found: which of them?</summary>
            {task.renews.map((mode) => (
              <CheckField key={mode.slug} name="forModes" value={mode.slug} label={mode.name} />
            ))}
          </details>
        )}
        {task.exchanges && (
          <p className="soft">
            In full, it puts a new {device.label} in its place from today; the old one is kept in the past.
          </p>
        )}
        <CheckField name="partial" label="Only part of it was done" hint="Kept in the record; nothing starts anew." />
      </VisitForm>
    </details>
  )
}
