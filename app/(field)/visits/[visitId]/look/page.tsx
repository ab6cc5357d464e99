import { visitCommandAction } from '@/app/(field)/visits/actions'
import { CheckField, ChoiceField, Field, SelectField } from '@/components/forms'
import { Sheet } from '@/components/paper'
import { Cautions, LookFields, VisitForm, VisitFrame } from '@/components/visits'
import { DeviceReadingsForm } from '@/components/wear'
import { findLookPage } from '@/lib/office/visits/queries'
import { readVisitAs } from '../read-visit'

export const metadata = { title: 'Look' }

export default async function LookPage({ params }: { params: Promise<{ visitId: string }> }) {
  const { visit } = await readVisitAs(findLookPage, params)
  const { devices, tap, wearAsked } = visit
  const asked = devices
    .map((device) => ({ ...device, modes: device.modes.filter((mode) => mode.listed !== null) }))
    .filter((device) => device.modes.length > 0)
  const pairs = devices.map((device) => ({
    label: device.label,
    options: device.modes.map((mode) => ({ value: `${device.id}|${mode.slug}`, label: mode.name })),
  }))
  const pairOptions = pairs.map(({ label, options }) => (
    <optgroup key={label} label={label}>
      {options.map((option) => (
        <option key={option.value} value={option.value}>
          {option.label}
        </option>
      ))}
    </optgroup>
  ))
  return (
    <VisitFrame {...visit} step="/look">
      <Sheet title="Look before you touch">
        <p>
          Animals: count, appetite, breathing, spots. Levels at their marks. Noise, smell, leaks, salt creep, plugs and
          drip loops.
        </p>
        <details>
          <summary>There is water where it should not be</summary>
          <Cautions texts={visit.cautions.leak} local="Fixed wiring: a licensed electrician, under the local code." />
        </details>
      </Sheet>
      <p className="visit-next">
        <a className="button" href={`/visits/${visit.visitId}/find`}>
          Something is wrong: find the cause
        </a>
      </p>
      <Sheet title="Due or suspected: how did you find it?">
        {asked.length === 0 ? (
          <p className="soft">Nothing is due here, and nobody suspects anything.</p>
        ) : (
          <VisitForm
            action={visitCommandAction}
            kind="visit.record-looks"
            visitId={visit.visitId}
            submit="Record these looks"
            big
          >
            {asked.map((device) => (
              <section key={device.id}>
                <h3>{device.label}</h3>
                {device.modes.map((mode) => (
                  <LookFields key={mode.slug} equipmentId={device.id} mode={mode} whole />
                ))}
              </section>
            ))}
          </VisitForm>
        )}
      </Sheet>
      <DeviceReadingsForm asked={wearAsked} action={visitCommandAction} visitId={visit.visitId} locale={visit.locale} />
      <Sheet title="Everything else">
        {tap.pairs.length === 0 ? (
          <p className="soft">All that running shows is recorded.</p>
        ) : (
          <VisitForm
            action={visitCommandAction}
            kind="visit.all-running"
            visitId={visit.visitId}
            submit="Everything else running, no faults"
            big
            next="/test"
            about={visit.visitId}
            hidden={{ pairs: JSON.stringify(tap.pairs) }}
          >
            <p>
              Covers {tap.pairs.length} things you can check while it runs. What must be opened or measured, and what is
              asked above, is not in it.
            </p>
            <details>
              <summary>What it covers</summary>
              <ul>
                {tap.words.map((words) => (
                  <li key={words}>{words}</li>
                ))}
              </ul>
            </details>
          </VisitForm>
        )}
      </Sheet>
      <Sheet title="Something else">
        <details>
          <summary>I suspect something</summary>
          <VisitForm
            action={visitCommandAction}
            kind="visit.suspect"
            visitId={visit.visitId}
            submit="Ask about it above"
            plain
          >
            <SelectField name="pair" label="What" placeholder="Choose one">
              {pairOptions}
            </SelectField>
            <Field name="words" label="Why" />
          </VisitForm>
        </details>
        <details>
          <summary>Somebody here reported a fault</summary>
          <VisitForm
            action={visitCommandAction}
            kind="visit.record-report"
            visitId={visit.visitId}
            submit="Record what they said"
            plain
          >
            <SelectField name="pair" label="What" placeholder="Choose one">
              {pairOptions}
            </SelectField>
            <ChoiceField
              name="asFound"
              label="What they saw"
              options={[
                { value: 'needs_it', label: 'Needs it' },
                { value: 'failed', label: 'Failed' },
              ]}
            />
            <Field name="reportedOn" type="date" label="Since when" hint="Blank if nobody knows." />
            <CheckField name="sure" label="They are sure of the day" />
            <Field name="words" label="In their words" />
          </VisitForm>
        </details>
      </Sheet>
    </VisitFrame>
  )
}
