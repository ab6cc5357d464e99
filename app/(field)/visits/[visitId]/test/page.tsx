import { visitCommandAction } from '@/app/(field)/visits/actions'
import { NumberField, SelectField } from '@/components/forms'
import { Problem, Sheet } from '@/components/paper'
import { VisitForm, VisitFrame } from '@/components/visits'
import { readVisit } from '../read-visit'

const STATE_CLASS = { ok: 'ok', low: 'call', high: 'call', alarm: 'call', unknown: 'soft' } as const

export const metadata = { title: 'Test' }

export default async function TestPage({ params }: { params: Promise<{ visitId: string }> }) {
  const { visit } = await readVisit(params)
  const { quantities, readings, apart } = visit.water
  return (
    <VisitFrame {...visit} step="/test">
      {apart && <Problem title="Thermometers apart">{apart}</Problem>}
      {readings.length > 0 && (
        <Sheet title="Measured">
          <ul className="visit-list">
            {readings.map(({ id, name, enteredValue, enteredUnit, state, words }) => (
              <li key={id}>
                <div className="visit-row">
                  <span>{name}</span>
                  <b>
                    {enteredValue} {enteredUnit}
                  </b>
                </div>
                <span className={STATE_CLASS[state]}>{words}</span>
              </li>
            ))}
          </ul>
          <p className="soft small">A wrong figure is corrected on the first page, below the summary.</p>
        </Sheet>
      )}
      <Sheet title="Measure, before any water change">
        <VisitForm
          action={visitCommandAction}
          kind="visit.readings"
          visitId={visit.visitId}
          submit="Record the readings"
          big
        >
          {quantities.map(({ quantity, name, units, lastUnit, last, hint }) => (
            <div className="visit-reading" key={quantity}>
              <NumberField
                name={`value|${quantity}`}
                label={name}
                hint={[hint, last && `last ${last}`].filter(Boolean).join(' ') || undefined}
              />
              {units.length > 1 ? (
                <SelectField
                  name={`unit|${quantity}`}
                  label="Unit"
                  defaultValue={lastUnit}
                  options={units.map((unit) => ({ value: unit, label: unit || 'no unit' }))}
                />
              ) : (
                <input type="hidden" name={`unit|${quantity}`} value={units[0] ?? ''} />
              )}
            </div>
          ))}
          <p className="soft">Blank is not measured.</p>
        </VisitForm>
      </Sheet>
    </VisitFrame>
  )
}
