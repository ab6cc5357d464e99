import { CheckField, ChoiceField, Field, NumberField, SelectField } from '@/components/forms'
import { DateWords, Empty, Sheet } from '@/components/paper'
import type { FormAction } from '@/lib/office/frame/schema'
import { type LookedMode, LookFields, saidWords } from './look-fields'
import { VisitForm, type VisitFormProps } from './visit-form'
import { optionsOf, REASON_WORDS } from './words'

export type SummarisedVisit = {
  visitId: string
  /** Those that something may be said of, and those that it was said of. */
  recorded: readonly {
    id: string
    label: string
    modes: readonly LookedMode[]
    tasks: readonly { slug: string; name: string; renews: readonly { slug: string; name: string }[] }[]
  }[]
  water: {
    readings: readonly {
      id: string
      quantity: string
      name: string
      enteredValue: string
      enteredUnit: string
      words: string
    }[]
    quantities: readonly { quantity: string; units: readonly string[] }[]
  }
  /** Signs with what was behind them. */
  causesFound: readonly { id: string; words: string }[]
  waterChanges: readonly { id: string; words: string }[]
  record: {
    work: readonly { id: string; equipmentId: string; task: string; partial: boolean }[]
    renewals: readonly {
      id: string
      equipmentId: string
      mode: string
      reason: keyof typeof REASON_WORDS
      partial: boolean
    }[]
    parts: readonly {
      id: string
      priceItemId: string | null
      description: string
      quantity: number
      billable: boolean
    }[]
    notesForClient: readonly { id: string; text: string }[]
    notesForUs: readonly { id: string; text: string }[]
    promises: readonly { id: string; what: string; dueOn: string }[]
  }
  /** What can be switched off here, and whether it is. */
  switchable: readonly { name: string; isOff: boolean }[]
  locale: string
  today: string
}

/** What was recorded, each line open to a correction: the wrong word stays in the past, the new one counts. */
export function VisitSummary({ visit, action }: { visit: SummarisedVisit; action: FormAction }) {
  const { visitId, recorded: devices, water, causesFound, waterChanges, record, switchable, locale, today } = visit
  const findings = devices.flatMap((device) =>
    device.modes.flatMap((mode) =>
      mode.finding && !mode.finding.fromTap ? [{ device, mode, said: mode.finding }] : [],
    ),
  )
  const tapped = devices.flatMap((device) => device.modes.filter((mode) => mode.finding?.fromTap)).length
  const modeName = new Map(devices.flatMap((device) => device.modes.map((mode) => [mode.slug, mode.name])))
  const taskName = new Map(devices.flatMap((device) => device.tasks.map((task) => [task.slug, task.name])))
  const label = new Map(devices.map((device) => [device.id, device.label]))
  const isEmpty =
    causesFound.length + findings.length + tapped + water.readings.length + record.work.length + record.parts.length ===
    0
  const off = switchable.filter(({ isOff }) => isOff).map(({ name }) => name)
  const notes = [...record.promises, ...off, ...record.notesForClient, ...record.notesForUs]
  if (isEmpty && notes.length === 0)
    return (
      <Sheet title="Recorded">
        <Empty title="Nothing yet">What you look at, measure and do stands here at once.</Empty>
      </Sheet>
    )
  return (
    <Sheet title="Recorded">
      {off.length > 0 && (
        <p>
          <b>Off now: {off.join(', ')}.</b>
        </p>
      )}
      {causesFound.length > 0 && <h3>Causes found</h3>}
      <ul className="visit-list">
        {causesFound.map(({ id, words }) => (
          <li key={id}>
            {words}
            <TakeBack action={action} visitId={visitId} id={id} />
          </li>
        ))}
      </ul>
      {findings.length > 0 && <h3>Found</h3>}
      <ul className="visit-list">
        {findings.map(({ device, mode, said }) => (
          <li key={`${device.id} ${mode.slug}`}>
            {device.label}: {mode.name}. <b>{saidWords(said)}</b>
            <Correction action={action} visitId={visitId} of="finding" hidden={{}} about={`${device.id} ${mode.slug}`}>
              <LookFields equipmentId={device.id} mode={mode} whole corrects />
            </Correction>
          </li>
        ))}
        {tapped > 0 && <li>Everything else running, no faults: {tapped === 1 ? '1 thing' : `${tapped} things`}.</li>}
      </ul>
      {water.readings.length > 0 && <h3>Measured</h3>}
      <ul className="visit-list">
        {water.readings.map((reading) => (
          <li key={reading.id}>
            {reading.words || `${reading.name} ${reading.enteredValue} ${reading.enteredUnit}`}
            <Correction action={action} visitId={visitId} of="reading" hidden={{ targetId: reading.id }}>
              <div className="visit-reading">
                <NumberField
                  name={`value|${reading.quantity}`}
                  label={reading.name}
                  defaultValue={reading.enteredValue}
                />
                <SelectField
                  name={`unit|${reading.quantity}`}
                  label="Unit"
                  defaultValue={reading.enteredUnit}
                  options={(
                    water.quantities.find(({ quantity }) => quantity === reading.quantity)?.units ?? [
                      reading.enteredUnit,
                    ]
                  ).map((unit) => ({ value: unit, label: unit || 'no unit' }))}
                />
              </div>
            </Correction>
          </li>
        ))}
      </ul>
      {record.work.length + waterChanges.length > 0 && <h3>Done</h3>}
      <ul className="visit-list">
        {waterChanges.map(({ id, words }) => (
          <li key={id}>
            Water changed: {words}
            <TakeBack action={action} visitId={visitId} id={id} />
          </li>
        ))}
        {record.work.map((work) => (
          <li key={work.id}>
            {[label.get(work.equipmentId), taskName.get(work.task) ?? work.task].filter(Boolean).join(': ')}
            {work.partial && ' (a part of it)'}
          </li>
        ))}
      </ul>
      {record.renewals.length > 0 && (
        <details>
          <summary>What was renewed, and why</summary>
          <ul className="visit-list">
            {record.renewals.map((renewal) => (
              <li key={renewal.id}>
                {modeName.get(renewal.mode) ?? renewal.mode}: {REASON_WORDS[renewal.reason]}
                {renewal.partial && ', a part only: nothing starts anew'}
                <Correction action={action} visitId={visitId} of="renewal" hidden={{ targetId: renewal.id }}>
                  <ChoiceField
                    name="reason"
                    label="Why"
                    options={optionsOf(REASON_WORDS)}
                    defaultValue={renewal.reason}
                    list
                  />
                  <CheckField
                    name="partial"
                    label="It was not done, or only in part"
                    defaultChecked={renewal.partial}
                  />
                </Correction>
              </li>
            ))}
          </ul>
        </details>
      )}
      {record.parts.length > 0 && <h3>Parts</h3>}
      <ul className="visit-list">
        {record.parts.map((part) => (
          <li key={part.id}>
            {part.quantity} × {part.description}
            {!part.billable && ' (not charged)'}
            <Correction
              action={action}
              visitId={visitId}
              of="part"
              hidden={{ targetId: part.id, priceItem: part.priceItemId ?? '' }}
            >
              <Field name="description" label="What" defaultValue={part.description} />
              <NumberField
                name="quantity"
                label="How many"
                hint="0 if it was not used."
                defaultValue={String(part.quantity)}
              />
              <CheckField name="billable" label="Charge it" defaultChecked={part.billable} />
            </Correction>
          </li>
        ))}
      </ul>
      {record.promises.length > 0 && <h3>Promised to client</h3>}
      <ul className="visit-list">
        {record.promises.map(({ id, what, dueOn }) => (
          <li key={id}>
            {what}, by <DateWords date={dueOn} locale={locale} today={today} />
          </li>
        ))}
      </ul>
      {record.notesForClient.length + record.notesForUs.length > 0 && <h3>Notes</h3>}
      {record.notesForClient.map(({ id, text }) => (
        <p key={id}>
          <span className="soft">For the client: </span>
          {text}
        </p>
      ))}
      {record.notesForUs.map(({ id, text }) => (
        <p key={id}>
          <span className="soft">For us: </span>
          {text}
        </p>
      ))}
    </Sheet>
  )
}

/** The undo of one thing that was said. */
function TakeBack({ action, visitId, id }: Pick<VisitFormProps, 'action' | 'visitId'> & { id: string }) {
  return (
    <details className="correction">
      <summary className="small">Undo</summary>
      <VisitForm
        action={action}
        kind="visit.take-back"
        visitId={visitId}
        submit="Take it back"
        plain
        hidden={{ takesBack: id }}
      />
    </details>
  )
}

type CorrectionProps = Pick<VisitFormProps, 'action' | 'visitId' | 'about' | 'children'> & {
  of: 'finding' | 'reading' | 'renewal' | 'part'
  hidden: Readonly<Record<string, string>>
}

function Correction({ of, hidden, ...form }: CorrectionProps) {
  return (
    <details className="correction">
      <summary className="small">Correct</summary>
      <VisitForm {...form} kind="visit.correct" submit="Save correction" plain hidden={{ ...hidden, of }} />
    </details>
  )
}
