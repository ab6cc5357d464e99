import { visitCommandAction } from '@/app/(field)/visits/actions'
import { CheckField, ChoiceField, Field, Fieldset, NumberField, TextAreaField } from '@/components/forms'
import { DateWords, Sheet } from '@/components/paper'
import { PhotoForm, VisitForm, VisitFrame } from '@/components/visits'
import { readVisit } from '../read-visit'

export const metadata = { title: 'Leave' }

export default async function LeavePage({ params }: { params: Promise<{ visitId: string }> }) {
  const { actor, visit } = await readVisit(params)
  const { restart, record, photos, locale } = visit
  const switches = restart.filter(({ kind }) => kind === 'switch')
  const checks = restart.filter(({ kind }) => kind === 'check')
  const nextOff = switches.find(({ isOn }) => !isOn)
  const minutes = record.minutes ?? visit.minutesSoFar
  return (
    <VisitFrame {...visit} step="/leave">
      <Sheet title="On again, in this order" tone={nextOff ? 'call' : undefined}>
        {switches.length === 0 && <p className="soft">Nothing was switched off.</p>}
        <ol className="visit-list">
          {switches.map(({ slug, text, waitMinutes, isOn }) => (
            <li key={slug}>
              <p>
                {isOn && <b className="ok">On. </b>}
                {waitMinutes !== undefined && !isOn && <b>Wait {waitMinutes} minutes first. </b>}
                {text}
              </p>
              <VisitForm
                action={visitCommandAction}
                kind="visit.switch-on"
                visitId={visit.visitId}
                submit={isOn ? 'Checked again' : 'Back on and running'}
                plain={slug !== nextOff?.slug}
                hidden={{ devices: slug }}
              />
            </li>
          ))}
        </ol>
      </Sheet>
      <Sheet title="Photos">
        <ul className="visit-photos">
          {photos
            .filter(({ hidden }) => !hidden)
            .map(({ id, caption, forClient }) => (
              <li key={id}>
                {/* biome-ignore lint/performance/noImgElement: served by our own route, already small */}
                <img src={`/api/photos/${id}`} alt={caption || 'Photo of this visit'} loading="lazy" />
                <span className="small">
                  {caption} <span className="soft">{forClient ? 'for the client' : 'for us'}</span>
                </span>
              </li>
            ))}
        </ul>
        <PhotoForm visitId={visit.visitId} deviceId={`web-${actor.personId}`} />
      </Sheet>
      <Sheet title="Notes">
        {(
          [
            ['client', 'Note for the client', record.notesForClient],
            ['us', 'Note for us', record.notesForUs],
          ] as const
        ).map(([audience, label, notes]) => (
          <VisitForm
            key={audience}
            action={visitCommandAction}
            kind="visit.note"
            visitId={visit.visitId}
            submit={notes.length > 0 ? 'Change the note' : 'Add the note'}
            plain
            hidden={{ audience }}
          >
            {notes.map(({ id }) => (
              <input key={id} type="hidden" name="replaces" value={id} />
            ))}
            <TextAreaField
              name="text"
              label={label}
              rows={3}
              defaultValue={notes.map(({ text }) => text).join('\n\n')}
            />
          </VisitForm>
        ))}
      </Sheet>
      <Sheet title="Follow-up promised">
        <ul className="visit-list">
          {record.promises.map(({ id, what, dueOn }) => (
            <li key={id}>
              {what}, by <DateWords date={dueOn} locale={locale} today={visit.today} />
            </li>
          ))}
        </ul>
        <VisitForm action={visitCommandAction} kind="visit.promise" visitId={visit.visitId} submit="Promise it" plain>
          <Field name="what" label="What" />
          <Field name="dueOn" type="date" min={visit.today} label="By when" />
        </VisitForm>
      </Sheet>
      <Sheet title="Leave">
        <VisitForm action={visitCommandAction} kind="visit.leave" visitId={visit.visitId} submit="Leave" big next="">
          {checks.length > 0 && (
            <Fieldset legend="Leaving check">
              {checks.map(({ slug, text }) => (
                <CheckField key={slug} name="check" value={slug} label={text} />
              ))}
            </Fieldset>
          )}
          <NumberField
            name="minutes"
            whole
            label="Minutes at the tank"
            hint={
              visit.minutesSoFar === null ? undefined : 'From your arrival until now; change it if it was otherwise.'
            }
            defaultValue={minutes === null ? '' : String(minutes)}
          />
          {visit.state !== 'done' && <CheckField name="loggedAfterwards" label="I arrived earlier than logged" />}
          <ChoiceField
            name="outcome"
            label="How did it end?"
            options={[
              { value: 'done', label: 'Done' },
              { value: 'cut_short', label: 'Cut short' },
            ]}
          />
          <Field
            name="leftEarlyReason"
            label="Leaving early? Say why"
            hint="Only when something above is open or the visit is cut short. The owner is told."
          />
        </VisitForm>
      </Sheet>
    </VisitFrame>
  )
}
